"""Runout: total indicator readings (TIR) and whose they are."""

from __future__ import annotations

import cmath

from advisor.driveline import _limits


def runout_from_offset(offset_m: float) -> float:
    """Total indicator reading in m of a round surface that runs off centre by `offset_m`.

    The sign of the offset does not matter. ValueError when it is no finite number.
    Source: TIR = 2 e; handbook section 7, RUN-01 (D).
    """
    return 2.0 * abs(_limits.finite("the offset", offset_m, "mm"))


def shaft_share_of_runout(before_m: float, after_m: float, high_spot_turn_rad: float) -> float:
    """The shaft's part in m of the runout, from readings before and after turning it by 180 deg.

    The shaft is re-bolted half a turn round on its flange. `high_spot_turn_rad` says how far the
    high spot has moved on the shaft: 0 means the same place. Without it the shaft's share may be
    anything between half the difference and half the sum of the readings. Readings 0 or more,
    turn within 360 deg, else ValueError.
    Source: half the vector sum; handbook section 7, RUN-02 and RUN-03 (R for the procedure, D).
    """
    first, second = _readings(before_m, after_m, high_spot_turn_rad)
    return abs(first + second) / 2.0


def flange_share_of_runout(before_m: float, after_m: float, high_spot_turn_rad: float) -> float:
    """The flange's part in m of the runout; as `shaft_share_of_runout`.

    Source: half the vector difference; handbook section 7, RUN-02 and RUN-03 (R for the
    procedure, D).
    """
    first, second = _readings(before_m, after_m, high_spot_turn_rad)
    return abs(first - second) / 2.0


def _readings(before_m: float, after_m: float, turn_rad: float) -> tuple[complex, complex]:
    before = _limits.clearance("the runout before", before_m)
    after = _limits.clearance("the runout after", after_m)
    return complex(before), cmath.rect(after, _limits.direction("the turn", turn_rad))
