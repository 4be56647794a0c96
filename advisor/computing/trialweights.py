"""The verb `trial-weights`: the mass to fit, from amplitudes with and without a trial mass."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from advisor import units
from advisor.computing.errors import listed, quote
from advisor.computing.forms import BEYOND, TEXT, Field, Filled, Form, fill
from advisor.driveline.fourrun import Correction, clamp_places, correction_from_amplitudes

POORLY_KNOWN: Final = 1.0 / 3.0
"""A correction that leaves this share of the amplitude by its uncertainty; judgement."""

FAR_WORSE: Final = 3.0
"""A trial run this many times the first one is more than a trial; judgement."""

MOST_APART: Final = 1000.0
"""No trial mass changes an amplitude so much and is still a trial; judgement."""

_MASSES: Final = ("0.5 g", "200 g")
_SHAPE: Final = "0 deg: 5.2, 120 deg: 3.1, 240 deg: 6.6"

FORM: Final = Form(
    "trial-weights",
    "mass to fit and its place, from amplitudes without and with a trial mass, no phase needed",
    (
        Field(
            "initial",
            TEXT,
            "the amplitude without a trial mass, such as 4.0 or 4.0 mm/s",
            shape="AMPLITUDE",
        ),
        Field("trial_mass", "mass", "the trial mass, the same in all runs", usual=_MASSES),
        Field(
            "at",
            TEXT,
            "the places of the trial mass (3 or 4), each with its amplitude at the same speed",
            shape=_SHAPE,
        ),
        Field(
            "u",
            TEXT,
            "the standard uncertainty of an amplitude, such as the scatter of repeated runs",
            shape="AMPLITUDE",
        ),
        Field(
            "clamp_mass",
            "mass",
            "mass of one of two equal clamps to make the correction with",
            optional=True,
            usual=_MASSES,
        ),
    ),
    f'advisor trial-weights initial=4.0 trial_mass="10 g" at="{_SHAPE}" u=0.1',
    "four-run method, general field-balancing practice (P); handbook section 6, UNB-09 to UNB-11 "
    "(F for the clamps, D, M)",
)

_AMPLITUDE: Final = re.compile(
    r"([-+]?[0-9.,]*[0-9][.,]?(?:[eE][-+]?[0-9]+)?)\s*(%|[^\W\d_][\w/^*.·]{0,19})?"
)
_NEXT_PLACE: Final = re.compile(r"[;,](?=[^:;,]*:)")
"""A comma parts two places only when a colon follows before the next comma: "0 deg: 5,2"."""


@dataclass(frozen=True, slots=True)
class Amplitude:
    """A reading, or its uncertainty, in a unit of the user's own choice ("" for none)."""

    value: float
    unit: str
    typed: str


@dataclass(frozen=True, slots=True)
class Run:
    """One run with the trial mass at this place."""

    place: units.Quantity
    reading: Amplitude


@dataclass(frozen=True, slots=True)
class Balanced:
    """The runs and the correction; `clamps_rad` when two clamps make it, else `clamp_remark`.

    `left` is the amplitude to be expected with the correction fitted, from its uncertainty.
    """

    filled: Filled
    initial: Amplitude
    runs: tuple[Run, ...]
    u: Amplitude
    correction: Correction
    left: float
    clamps_rad: tuple[float, float] | None
    clamp_remark: str
    warnings: tuple[str, ...]


def balance(words: Sequence[str]) -> Balanced:
    """What the words of the command give. Raises ComputeError with all that is wrong with them."""
    filled, problems = fill(FORM, words)
    initial = _read(filled, "initial", problems)
    u = _read(filled, "u", problems)
    runs = _read_runs(filled.texts["at"], problems) if "at" in filled.texts else []
    amplitudes = [one for one in (initial, *(run.reading for run in runs), u) if one]
    problems += _mixed_units(amplitudes)
    problems += _far_apart(initial, runs)
    if u and u.value == 0.0:
        problems.append("u: read 0; no reading is certain; write the scatter of repeated runs")
    trial = filled.si("trial_mass")
    if problems or initial is None or u is None or trial is None:
        raise FORM.refused(problems)
    try:
        correction = correction_from_amplitudes(
            initial.value,
            trial,
            [run.place.si for run in runs],
            [run.reading.value for run in runs],
            u.value,
        )
    except ValueError as error:
        raise FORM.refused([str(error)]) from error
    except ArithmeticError as error:
        raise FORM.refused([BEYOND]) from error
    share = math.hypot(correction.u_mass_kg / correction.mass_kg, correction.u_angle_rad)
    clamps, remark = _clamps(filled, correction)
    warnings = (*filled.warnings, *_warnings(initial, runs, u, share))
    return Balanced(
        filled, initial, tuple(runs), u, correction, initial.value * share, clamps, remark, warnings
    )


def _read(filled: Filled, name: str, problems: list[str]) -> Amplitude | None:
    return _read_reading(name, filled.texts[name], problems) if name in filled.texts else None


def _read_reading(name: str, text: str, problems: list[str]) -> Amplitude | None:
    try:
        return read_amplitude(text)
    except ValueError as error:
        problems.append(f"{name}: {error}")
        return None


def read_amplitude(text: str) -> Amplitude:
    """A number of 0 or more, bare or with any unit. Raises ValueError with a sentence."""
    text = text.strip()
    match = _AMPLITUDE.fullmatch(text)
    if not match:
        raise ValueError(f"read {quote(text)}; write an amplitude such as 4.2 or 4.2 mm/s")
    value = units.parse(match[1], "ratio").si
    if value < 0.0:
        raise ValueError(f"read {quote(text)}; an amplitude is not below 0")
    unit = match[2] or ""
    if unit.lower().startswith("db"):
        raise ValueError("decibels are no amplitude; read the level in mm/s, m/s^2 or the like")
    return Amplitude(value, unit, text)


def _read_runs(text: str, problems: list[str]) -> list[Run]:
    runs = []
    parts = _NEXT_PLACE.split(text)
    if len(parts) not in (3, 4):
        count = f"{len(parts)} place{' is' if len(parts) == 1 else 's are'} given"
        problems.append(f'at: {count}; write 3 or 4, like at="{_SHAPE}"')
    for part in parts:
        place, colon, reading = part.partition(":")
        if not colon:
            problems.append(f'at: {quote(part.strip())} has no ":"; write it like 120 deg: 3.1')
            continue
        angle, amplitude = _read_place(place, problems), _read_reading("at", reading, problems)
        if angle and amplitude:
            runs.append(Run(angle, amplitude))
    return runs


def _read_place(text: str, problems: list[str]) -> units.Quantity | None:
    try:
        return units.parse(text, "angle")
    except ValueError as error:
        problems.append(f"at: {error}")
        return None


def _mixed_units(amplitudes: Sequence[Amplitude]) -> Iterator[str]:
    found = list(dict.fromkeys(one.unit for one in amplitudes))
    if len(found) > 1:
        read = listed(quote(unit) if unit else "no unit" for unit in found)
        yield f"the amplitudes have {read}; write all in one unit, or all without"


def _far_apart(initial: Amplitude | None, runs: Sequence[Run]) -> Iterator[str]:
    if initial is None or not runs:
        return
    sizes = (initial.value, max(run.reading.value for run in runs))
    if max(sizes) > MOST_APART * min(sizes):
        yield (
            f"the amplitudes differ more than {MOST_APART:g} times; look at their decimal points"
        )


def _clamps(filled: Filled, correction: Correction) -> tuple[tuple[float, float] | None, str]:
    clamp = filled.si("clamp_mass")
    if clamp is None:
        return None, ""
    try:
        return clamp_places(correction.mass_kg, correction.angle_rad, clamp), ""
    except ValueError as error:
        return None, str(error)


def _warnings(initial: Amplitude, runs: Sequence[Run], u: Amplitude, share: float) -> Iterator[str]:
    if u.value < 0.002 * initial.value:
        yield (
            f"u: read {u.typed}, less than 0.2 % of the first reading; runs hardly repeat so well, "
            "so the uncertainties below may be too small"
        )
    for run in runs:
        if run.reading.value > FAR_WORSE * initial.value:
            yield (
                f"at {run.place} the trial mass made it {run.reading.value / initial.value:.1f} "
                "times as strong; take a smaller one"
            )
    if share > POORLY_KNOWN:
        yield (
            "the correction is known poorly; repeat the runs with a larger trial "
            "mass, or take means of several readings"
        )
