"""How common each cause is, from confirmed causes and the author's commonness."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

_CLOSE = 1e-12
_MOST_ROUNDS = 10_000


def commonness_from(
    author: Sequence[float], confirmed: Mapping[tuple[int, int], int], strength: float
) -> tuple[float, ...]:
    """The commonness of each cause, on the author's scale (the same sum).

    `confirmed` counts confirmed causes by index and by the causes that could exist on that
    vehicle (bits of a number): a cause is only held against those that it could be mistaken for.
    The author's commonness counts as `strength` further cases on vehicles where each could exist.

    Where each cause could exist on every vehicle, this is the mean of the Dirichlet posterior.
    Otherwise it is the fixed point for choices from changing sets, found by Hunter's method:
    The Annals of Statistics 32(1), 2004, equation 30, for Luce's model.
    """
    scale = math.fsum(author)
    shares = [one / scale for one in author]
    won = [strength * share for share in shares]
    among: dict[int, int] = {}
    for (cause, possible), count in sorted(confirmed.items()):
        won[cause] += count
        among[possible] = among.get(possible, 0) + count
    members = {possible: [i for i in range(len(author)) if possible >> i & 1] for possible in among}
    for _ in range(_MOST_ROUNDS):
        faced = [strength] * len(shares)  # the shares add up to 1
        for possible, count in among.items():
            load = count / math.fsum(shares[i] for i in members[possible])
            for i in members[possible]:
                faced[i] += load
        new = [one / load for one, load in zip(won, faced, strict=True)]
        whole = math.fsum(new)
        new = [one / whole for one in new]
        moved = max(abs(a - b) / b for a, b in zip(new, shares, strict=True))
        shares = new
        if moved < _CLOSE:
            break
    return tuple(share * scale for share in shares)
