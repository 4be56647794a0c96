"""The correction from trial runs, as text or as data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from advisor import units
from advisor.computing.forms import Form
from advisor.computing.outcome import joined, warning_lines
from advisor.computing.trialweights import FORM, Balanced, balance

FORMULA: Final = (
    "amplitude = |a + c x (place)|, fitted by least squares; correction = -a x trial mass / c; "
    "two clamps: 2 x clamp x cos(spread / 2)"
)
CAUTIONS: Final = (
    "Keep everybody out of the plane in which a clamp or weight would fly, in all runs.",
    "Fix a trial mass so that it cannot shift or fly, clear of body, floor and exhaust, and turn "
    "the shaft once by hand. Bring the speed up slowly, and stop when it gets much worse.",
    "Wheels free, axle at ride height and never hanging. Stay clear of all that turns: no loose "
    "clothes, rings or gloves. With drums or discs off, do not touch the brake. Never choose Park "
    "while wheels turn.",
    "Watch the heat of engine, gearbox and exhaust, and let them cool between the runs. Draw the "
    "exhaust off.",
    "Take off every trial clamp after the test. The correction below counts without them.",
)
"""Handbook section 15 (F, P); common practice for the second and the last."""


@dataclass(frozen=True, slots=True)
class BalanceAnswer:
    """What the verb has to say."""

    found: Balanced

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        found = self.found
        sections = (
            (f"trial-weights: {FORM.gives}", f"formula: {FORMULA}"),
            ("caution", *(f"- {text}" for text in CAUTIONS)),
            found.filled.lines(),
            self._result_lines(),
            self._clamp_lines(),
            self._check_lines(),
            warning_lines(found.warnings),
            (f"source: {FORM.source}",),
        )
        return joined(sections)

    def as_data(self) -> dict[str, Any]:
        """For a program.

        inputs: a list, each with name, typed, value, unit, si (null for a text).
        runs: a list, each with place_rad and amplitude; initial, u: amplitudes;
        amplitude_unit: as typed, "" for none.
        correction: mass_kg, u_mass_kg, angle_rad, u_angle_rad (standard uncertainties), and mass,
        u_mass, mass_unit, angle, u_angle, angle_unit as typed.
        consistent, misfit, remark ("" when consistent).
        expected_amplitude: what its uncertainty leaves, in the same unit.
        clamps: null, or clamps_rad (two places), spread_rad, remark ("" when two are enough, else
        the places and the spread are null).
        formula, source; cautions, warnings: lists of sentences.
        """
        found = self.found
        return {
            "inputs": found.filled.data(),
            "formula": FORMULA,
            "source": FORM.source,
            "initial": found.initial.value,
            "u": found.u.value,
            "amplitude_unit": found.initial.unit,
            "runs": [
                {"place_rad": run.place.si, "amplitude": run.reading.value} for run in found.runs
            ],
            "correction": self._correction_data(),
            "consistent": found.correction.consistent,
            "misfit": found.correction.misfit,
            "remark": found.correction.remark,
            "expected_amplitude": found.left,
            "clamps": self._clamp_data() if "clamp_mass" in found.filled else None,
            "cautions": list(CAUTIONS),
            "warnings": list(found.warnings),
        }

    @property
    def _mass_unit(self) -> units.Unit:
        return self.found.filled.quantities["trial_mass"].unit

    @property
    def _angle_unit(self) -> units.Unit:
        return self.found.runs[0].place.unit

    def _result_lines(self) -> Iterator[str]:
        found = self.found.correction
        if found.remark:
            mass = units.show(found.mass_kg, self._mass_unit)
            place = units.show(found.angle_rad, self._angle_unit)
            yield f"not to be fitted: {found.remark}"
            yield f"(what fits these readings least badly: {mass} at {place})"
            return
        yield "result: fit"
        yield f"- mass: {units.show(found.mass_kg, self._mass_unit, found.u_mass_kg)}"
        place = units.show(found.angle_rad, self._angle_unit, found.u_angle_rad)
        yield f"- place: {place}"
        yield (
            "(+/- are standard uncertainties; the place counts like those of the trial mass, in "
            "the same sense and from the same mark; at the radius of the trial mass)"
        )

    def _clamp_lines(self) -> Iterator[str]:
        found = self.found
        clamp = found.filled.quantities.get("clamp_mass")
        if clamp is None or found.correction.remark:
            return
        if found.clamps_rad is None:
            yield f"two clamps of {clamp}: {found.clamp_remark}"
            return
        # No more digits than the place of the correction has.
        angles = (*found.clamps_rad, _spread(found.clamps_rad))
        one, other, spread = (
            units.show(angle, self._angle_unit, found.correction.u_angle_rad).split(" +/- ")[0]
            for angle in angles
        )
        yield f"two clamps of {clamp}: at {one} and {other}, {spread} apart"

    def _check_lines(self) -> Iterator[str]:
        found = self.found
        correction = found.correction
        fits = "yes" if correction.consistent else "no"
        yield f"do the readings fit one another: {fits} (misfit {correction.misfit:.2g})"
        if correction.consistent:
            unit = f" {found.initial.unit}" if found.initial.unit else ""
            yield (
                "with it fitted, its uncertainty leaves about "
                f"{found.left:.2g}{unit} of {found.initial.typed}; run again and read"
            )

    def _correction_data(self) -> dict[str, Any]:
        found, mass, angle = self.found.correction, self._mass_unit, self._angle_unit
        return {
            "mass_kg": found.mass_kg,
            "u_mass_kg": found.u_mass_kg,
            "angle_rad": found.angle_rad,
            "u_angle_rad": found.u_angle_rad,
            "mass": found.mass_kg / mass.factor,
            "u_mass": found.u_mass_kg / mass.factor,
            "mass_unit": mass.symbol,
            "angle": found.angle_rad / angle.factor,
            "u_angle": found.u_angle_rad / angle.factor,
            "angle_unit": angle.symbol,
        }

    def _clamp_data(self) -> dict[str, Any]:
        clamps = self.found.clamps_rad
        return {
            "clamps_rad": list(clamps) if clamps else None,
            "spread_rad": _spread(clamps) if clamps else None,
            "remark": self.found.clamp_remark,
        }


def _spread(clamps_rad: tuple[float, float]) -> float:
    return (clamps_rad[1] - clamps_rad[0]) % (2.0 * math.pi)


def trial_weights_answer(words: Sequence[str]) -> BalanceAnswer | Form:
    """What the verb answers to these words, without any what it takes. Raises ComputeError."""
    return BalanceAnswer(balance(words)) if words else FORM
