"""The choice of wedges and shims, as text or as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from advisor import units
from advisor.computing.errors import listed
from advisor.computing.outcome import joined, warning_lines
from advisor.computing.resultunits import show_u
from advisor.computing.shims import JointChange, LoadChange, Shimmed, Uncertain, find_shims
from advisor.driveline.verdicts import CANNOT_TELL, WITHIN

GIVES: Final = "the parts at hand that leave the least of the joints' fluctuations"
FORMULA: Final = (
    "residual angle = sqrt |sum b_i^2 exp(2 j (fork_i - plane_i))|, the greatest over the loads "
    "made least; twisting acceleration = residual angle^2 x (2 pi x shaft speed)^2"
)
SOURCE: Final = (
    "phasor sum, handbook sections 2.2, 2.3 and 3, DL-01 to DL-16 (D; signs M, after SAE AE-7); "
    "limits section 2.5; parts by the geometry of small angles (D)"
)
CAUTIONS: Final = (
    "Measure with the wheels on the ground, or the axle at ride height, never hanging; measure all "
    "slopes again afterwards, at every load.",
    "Use the maker's parts, or parts made for it, over the full width of the seat: no loose stack.",
    "A part in the stack takes thread from its bolts: fit longer ones so that every nut has its "
    "full thread. Renew what may be used once only, tighten to the maker's torque, and again after "
    "the first drive.",
    "An axle that turns changes its attitude: look at steering castor, oil level and vent, brake "
    "lines, dampers and bump stops. A mount that moves brings hoses, linkages, exhaust and fan "
    "nearer to something.",
    "Chock the wheels, let the lift lock, and hold axle or gearbox before its bolts are loosened.",
)
"""Handbook section 15 (F, P), section 16, C12 and C65; common practice for the second."""

_DEG: Final = units.unit_named("deg")
_ACC: Final = units.unit_named("rad/s^2")


@dataclass(frozen=True, slots=True)
class ShimsAnswer:
    """What the verb has to say."""

    found: Shimmed

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        found = self.found
        sections = (
            (f"shims: {GIVES}", f"formula: {FORMULA}"),
            ("caution", *(f"- {text}" for text in CAUTIONS)),
            self._input_lines(),
            self._result_lines(),
            *(_load_lines(load) for load in found.loads),
            self._acceleration_lines(),
            self._remark_lines(),
            warning_lines(found.task.warnings),
            (f"source: {SOURCE}",),
        )
        return joined(sections)

    def as_data(self) -> dict[str, Any]:
        """For a program; angles in rad and deg as the name says, u a standard uncertainty.

        parts: a list, each with name, kind, step (as typed, null to leave it as it is), step_si.
        worst_residual: before_deg, u_before_deg, after_deg, u_after_deg, gain_deg, u_gain_deg,
        gain_is_sure (it exceeds twice its uncertainty).
        joints_allowed: whether all joint angles keep to the limits at all loads; limits:
        smallest_deg, greatest_deg, source; remarks: what does not keep to them.
        loads: a list, each with name, residual and joints (a list), with before_deg, u_before_deg,
        after_deg, u_after_deg.
        acceleration: null without a shaft speed, else shaft_speed_hz, before, u_before, after,
        u_after in rad/s^2 and limits, each with limit, whose, before, after ("within", "outside",
        "cannot-tell").
        u_slope_deg: of one slope. formula, source; cautions, warnings: lists of sentences.
        """
        found, task = self.found, self.found.task
        return {
            "vehicle": task.vehicle,
            "parts": [
                {
                    "name": part.adjustment.name,
                    "kind": part.kind,
                    "step": part.step_text(step) if step else None,
                    "step_si": step,
                }
                for part, step in zip(task.parts, found.choice.steps, strict=True)
            ],
            "worst_residual": {
                **_change_data(found.before, found.after),
                "gain_deg": found.gain.value / _DEG.factor,
                "u_gain_deg": found.gain.u / _DEG.factor,
                "gain_is_sure": found.gain_is_sure,
            },
            "joints_allowed": found.choice.joints_allowed,
            "limits": {
                "smallest_deg": task.smallest_rad / _DEG.factor,
                "greatest_deg": task.greatest_rad / _DEG.factor,
                "source": task.limits_source,
            },
            "remarks": list(found.choice.remarks),
            "loads": [
                {
                    "name": load.name,
                    "residual": _change_data(load.before, load.after),
                    "joints": [_change_data(one.before, one.after) for one in load.joints],
                }
                for load in found.loads
            ],
            "acceleration": self._acceleration_data(),
            "u_slope_deg": task.u_slope_rad / _DEG.factor,
            "formula": FORMULA,
            "source": SOURCE,
            "cautions": list(CAUTIONS),
            "warnings": list(task.warnings),
        }

    def _acceleration_data(self) -> dict[str, Any] | None:
        found = self.found.acceleration
        if found is None:
            return None
        return {
            "shaft_speed_hz": self.found.task.shaft_hz,
            "before": found.before.value,
            "u_before": found.before.u,
            "after": found.after.value,
            "u_after": found.after.u,
            "limits": [
                {"limit": limit.rad_per_s2, "whose": limit.whose, "before": before, "after": after}
                for limit, before, after in found.decisions
            ],
        }

    def _input_lines(self) -> Iterator[str]:
        task = self.found.task
        yield "put in"
        if task.vehicle:
            yield f"- vehicle: {task.vehicle}"
        for name, slopes in task.slopes.items():
            yield f"- slopes {name}, gearbox to pinion: {', '.join(slopes)}"
        turned = [str(i) for i, crossed in enumerate(task.crossed, 1) if crossed]
        forks = f"crossed on shaft {listed(turned)}" if turned else "aligned"
        yield f"- forks: {forks}"
        for part in task.parts:
            yield f"- {part.adjustment.name}: {', '.join(part.sizes)}, or left as it is"
        step, limit = task.inclinometer
        u = show_u(task.u_slope_rad, _DEG)
        yield f"- inclinometer: step {step}, limit {limit}: u = {u} for each slope"
        yield (
            f"- joint angles from {units.show(task.smallest_rad, _DEG)} to "
            f"{units.show(task.greatest_rad, _DEG)}: {task.limits_source}; the maker's go first"
        )

    def _result_lines(self) -> Iterator[str]:
        found = self.found
        yield "result"
        for part, step in zip(found.task.parts, found.choice.steps, strict=True):
            yield f"- {part.adjustment.name}: {part.step_text(step)}"
        yield f"worst residual angle: {_show_change(found.before, found.after)}"
        if not any(found.choice.steps):
            yield "no part at hand does better than leaving all as it is"
            return
        gain = units.show(found.gain.value, _DEG, found.gain.u)
        yield f"gain: {gain}"
        if found.gain.value <= 0.0:
            yield "the residual angle does not fall: these parts only bring the joint angles nearer"
        elif not found.gain_is_sure:
            yield (
                f"the gain is smaller than its uncertainty ({show_u(2.0 * found.gain.u, _DEG)}, "
                "k = 2): measure more finely, or several times, before any part is fitted"
            )
        yield "(+/- are standard uncertainties, from the slopes; parts and lengths taken as exact)"

    def _acceleration_lines(self) -> Iterator[str]:
        found = self.found.acceleration
        if found is None:
            return
        yield f"twisting acceleration at a shaft speed of {self.found.task.shaft_speed}"
        yield f"- before {_show(found.before, _ACC)}, after {_show(found.after, _ACC)}"
        for limit, before, after in found.decisions:
            shown = units.show(limit.rad_per_s2, _ACC)
            yield f"- {shown}, {limit.whose}: before {_word(before)}, after {_word(after)}"
        yield "which of these limits holds for this vehicle, its maker says"

    def _remark_lines(self) -> Iterator[str]:
        found = self.found
        for remark in found.choice.remarks:
            yield f"remark: {remark}"
        if not found.choice.joints_allowed:
            yield (
                "remark: no choice of these parts keeps all joint angles to the limits at all "
                "loads; this one comes nearest"
            )
        for load in found.loads:
            for number, joint in enumerate(load.joints, 1):
                if joint.at_limit is not None:
                    yield _near(load.name, number, joint.at_limit, joint)


def _near(load: str, number: int, limit: float, joint: JointChange) -> str:
    return (
        f"remark: {load}: joint {number} is too near to {units.show(limit, _DEG)} to tell on which "
        f"side it lies, {_show(joint.after, _DEG)}"
    )


def _load_lines(load: LoadChange) -> Iterator[str]:
    yield load.name
    yield f"- residual angle: {_show_change(load.before, load.after)}"
    for number, joint in enumerate(load.joints, 1):
        yield f"- joint {number}: {_show_change(joint.before, joint.after)}"


def _show(one: Uncertain, unit: units.Unit) -> str:
    return units.show(one.value, unit, one.u)


def _show_change(before: Uncertain, after: Uncertain) -> str:
    return f"{_show(before, _DEG)} before, {_show(after, _DEG)} after"


def _word(decision: str) -> str:
    if decision == CANNOT_TELL:
        return "too near to tell"
    return "below" if decision == WITHIN else "above"


def _change_data(before: Uncertain, after: Uncertain) -> dict[str, float]:
    return {
        "before_deg": before.value / _DEG.factor,
        "u_before_deg": before.u / _DEG.factor,
        "after_deg": after.value / _DEG.factor,
        "u_after_deg": after.u / _DEG.factor,
    }


def shims_answer(path: Path) -> ShimsAnswer:
    """What the verb answers for the file at `path`. Raises LoadError with all its problems."""
    return ShimsAnswer(find_shims(path))
