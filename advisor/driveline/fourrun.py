"""Balancing from amplitudes alone: one run without and three or four with a trial mass.

With no phase pick-up, the trial mass is tried at several known places, at one speed. Each reading
is the length of the sum of two arrows, that of the unbalance and that of the trial mass, which
turns with its place (the three-circle construction, done by least squares).
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from advisor.driveline import _limits
from advisor.driveline.balance import spread_for_effect

NEAREST_PLACES_RAD: Final = math.radians(20.0)
"""Places closer together tell hardly more than one; judgement."""

GREATEST_MISFIT: Final = {1: 6.635, 2: 9.210}
"""Points of the chi-square law with 1 and 2 degrees of freedom, exceeded 1 time in 100 (M)."""

DISAGREEMENT: Final = (
    "The readings don't fit one another: the speed or the place of the pick-up has changed between "
    "the runs, or something else shakes too. Repeat them before fitting a mass."
)
AMBIGUITY: Final = (
    "Another correction fits the readings nearly as well. Repeat them with a larger trial mass or "
    "at a fourth place before fitting a mass."
)

NEARLY_AS_WELL: Final = 3.841
"""Point of the chi-square law with 1 degree of freedom, exceeded 1 time in 20 (M)."""

_Row = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Correction:
    """The mass to fit at the trial mass's radius, and where; the trial mass comes off again.

    `angle_rad` is counted like the trial places, from 0 to a whole turn. The `u` are standard
    uncertainties, by the linear rule. `misfit` is the sum of the squared residuals in units of the
    readings' uncertainty; `consistent` says that it is no greater than chance allows (99 %) and
    that no other correction was found to fit nearly as well. If not, `remark` says what to do.
    """

    mass_kg: float
    u_mass_kg: float
    angle_rad: float
    u_angle_rad: float
    misfit: float
    consistent: bool
    remark: str


def correction_from_amplitudes(
    initial: float,
    trial_mass_kg: float,
    places_rad: Sequence[float],
    readings: Sequence[float],
    u_reading: float,
) -> Correction:
    """The correction from an initial amplitude and those with a trial mass at three or four places.

    Amplitudes in any one unit, 0 or more, each with the standard uncertainty `u_reading` (above 0)
    of that unit. Places in rad within 360 deg, at least 20 deg apart. Raises ValueError for
    impossible values, when the first reading is no more than twice its uncertainty, and when the
    trial mass did less than that.
    Source: A_i = |a + c exp(j p_i)|, correction -a T / c; four-run method, general field-balancing
    practice (P); handbook section 6, UNB-11 (M), uncertainty by JCGM 100:2008, 5.1.2 (M).
    """
    u = _limits.positive("the uncertainty of a reading", u_reading)
    trial_mass = _limits.mass("the trial mass", trial_mass_kg)
    places = _places(places_rad)
    amplitudes = [_limits.not_negative("a reading", value) for value in (initial, *readings)]
    if len(readings) != len(places):
        raise ValueError(f"there are {len(places)} trial places and {len(readings)} readings")
    if initial <= 2.0 * u:
        raise ValueError(
            "the first reading is hardly more than its uncertainty; nothing to balance"
        )
    turns = [0j, *(cmath.rect(1.0, place) for place in places)]
    scaled = [value / initial for value in amplitudes]
    fits = _fits(scaled, turns)
    unbalance, effect = fits[0]
    if abs(effect) * initial <= 2.0 * u:
        raise ValueError("the trial mass changed hardly anything; use a larger one")
    rows = _linear(scaled, turns, unbalance, effect)[1]
    misfits = [_cost(scaled, turns, *fit) * (initial / u) ** 2 for fit in fits]
    wanted, other = (-one * trial_mass / two for one, two in fits)
    remark = ""
    if misfits[0] > GREATEST_MISFIT[len(places) - 2]:
        remark = DISAGREEMENT
    elif misfits[1] - misfits[0] < NEARLY_AS_WELL and abs(other - wanted) > 0.1 * abs(wanted):
        remark = AMBIGUITY
    u_along, u_across = _uncertainty(rows, wanted, unbalance, effect, u / initial)
    return Correction(
        abs(wanted),
        u_along,
        cmath.phase(wanted) % (2.0 * math.pi),
        u_across / abs(wanted),
        misfits[0],
        not remark,
        remark,
    )


def clamp_places(mass_kg: float, angle_rad: float, clamp_mass_kg: float) -> tuple[float, float]:
    """Angles in rad, 0 to a whole turn, of two equal clamps that together make the correction.

    Masses above 0. Raises ValueError when two clamps are not enough.
    Source: 2 w cos(s / 2), spread evenly about the place of the correction; handbook section 6,
    UNB-09 and UNB-10 (F for the method, D).
    """
    clamps = _limits.mass("the mass", mass_kg) / _limits.mass("a clamp's mass", clamp_mass_kg)
    if clamps > 2.0:
        raise ValueError(
            f"the correction takes {clamps:.3g} clamps; two of a larger size are needed"
        )
    half = spread_for_effect(clamps) / 2.0
    whole = 2.0 * math.pi
    return (angle_rad - half) % whole, (angle_rad + half) % whole


def _places(places_rad: Sequence[float]) -> list[float]:
    if len(places_rad) not in (3, 4):
        raise ValueError(f"there are {len(places_rad)} trial places; expected 3 or 4")
    places = [_limits.direction("a trial place", place) for place in places_rad]
    for one, other in combinations(places, 2):
        if abs(math.remainder(one - other, 2.0 * math.pi)) < NEAREST_PLACES_RAD:
            raise ValueError(
                f"the trial places {math.degrees(one):g} deg and {math.degrees(other):g} deg are "
                f"closer than {math.degrees(NEAREST_PLACES_RAD):g} deg"
            )
    return places


def _fits(readings: Sequence[float], turns: Sequence[complex]) -> list[tuple[float, complex]]:
    """The arrows of the unbalance (along the real axis) and of the trial mass at angle 0.

    One fit from each start, the best first.
    """
    fits = [_improved(readings, turns, readings[0], start) for start in _starts(readings, turns)]
    # Both arrows reversed give the same readings and the same correction.
    return sorted(fits, key=lambda fit: _cost(readings, turns, *fit))


def _starts(readings: Sequence[float], turns: Sequence[complex]) -> list[complex]:
    """Where the search for the trial arrow begins: its direction from the squared readings.

    A_i^2 - A_0^2 = |c|^2 + 2 A_0 (cx cos p_i - cy sin p_i) is linear when |c|^2 counts as a third
    unknown; so the length is found twice over, and either may be spoilt by noise.
    """
    rows = [(1.0, turn.real, turn.imag) for turn in turns[1:]]
    sides = [value**2 - readings[0] ** 2 for value in readings[1:]]
    square, cosine, sine = _solved(*_normal_equations(rows, sides))
    arrow = complex(cosine, -sine) / (2.0 * readings[0])
    if arrow == 0j:
        arrow = 1e-9 + 0j
    lengths = [abs(arrow), math.sqrt(abs(square))]
    return [arrow / abs(arrow) * max(length, 1e-9) for length in lengths]


def _improved(
    readings: Sequence[float], turns: Sequence[complex], unbalance: float, effect: complex
) -> tuple[float, complex]:
    """The nearest least-squares fit (Levenberg and Marquardt)."""
    cost = _cost(readings, turns, unbalance, effect)
    damping = 1e-3
    while 1e-15 < damping < 1e12:
        residuals, rows = _linear(readings, turns, unbalance, effect)
        matrix, side = _normal_equations(rows, residuals)
        damped = [
            [value * (1.0 + damping) + 1e-12 if i == j else value for j, value in enumerate(row)]
            for i, row in enumerate(matrix)
        ]
        step = _solved(damped, side)
        moved = (unbalance + step[0], effect + complex(step[1], step[2]))
        moved_cost = _cost(readings, turns, *moved)
        if moved_cost < cost:
            (unbalance, effect), cost = moved, moved_cost
            damping /= 10.0
        else:
            damping *= 10.0
    return unbalance, effect


def _cost(
    readings: Sequence[float], turns: Sequence[complex], unbalance: float, effect: complex
) -> float:
    return sum(
        (value - abs(unbalance + effect * turn)) ** 2
        for value, turn in zip(readings, turns, strict=True)
    )


def _linear(
    readings: Sequence[float], turns: Sequence[complex], unbalance: float, effect: complex
) -> tuple[list[float], list[_Row]]:
    """Residuals, and how each reading changes with the unbalance and with both parts of effect."""
    residuals, rows = [], []
    for value, turn in zip(readings, turns, strict=True):
        arrow = unbalance + effect * turn
        size = max(abs(arrow), 1e-12)
        along = arrow.conjugate() / size
        residuals.append(value - abs(arrow))
        rows.append((along.real, (along * turn).real, -(along * turn).imag))
    return residuals, rows


def _uncertainty(
    rows: Sequence[_Row], wanted: complex, unbalance: float, effect: complex, u: float
) -> tuple[float, float]:
    """Standard uncertainties of the correction along its own direction and across it, in kg."""
    matrix, _ = _normal_equations(rows, [0.0] * len(rows))
    direction = wanted.conjugate() / abs(wanted)
    turned = [wanted / unbalance, -wanted / effect, -1j * wanted / effect]
    parts = [part * direction for part in turned]
    return _u_of(matrix, [p.real for p in parts], u), _u_of(matrix, [p.imag for p in parts], u)


def _u_of(matrix: Sequence[Sequence[float]], slopes: Sequence[float], u: float) -> float:
    solved = _solved(matrix, slopes)
    return u * math.sqrt(max(0.0, sum(a * b for a, b in zip(slopes, solved, strict=True))))


def _normal_equations(
    rows: Sequence[_Row], sides: Sequence[float]
) -> tuple[list[list[float]], list[float]]:
    matrix = [[sum(row[i] * row[j] for row in rows) for j in range(3)] for i in range(3)]
    side = [sum(row[i] * value for row, value in zip(rows, sides, strict=True)) for i in range(3)]
    return matrix, side


def _solved(matrix: Sequence[Sequence[float]], side: Sequence[float]) -> _Row:
    """Solution of three linear equations, by Cramer's rule."""
    (a, b, c), (d, e, f), (g, h, i) = matrix
    whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    if abs(whole) < 1e-15:
        raise ValueError(
            "the readings don't determine a correction; try another mass or other places"
        )
    p, q, r = side
    return (
        (p * (e * i - f * h) - b * (q * i - f * r) + c * (q * h - e * r)) / whole,
        (a * (q * i - f * r) - p * (d * i - f * g) + c * (d * r - q * g)) / whole,
        (a * (e * r - q * h) - b * (d * r - q * g) + p * (d * h - e * g)) / whole,
    )
