"""Published values of parts: tubes (CS), unbalance (UNB), runout (RUN), end play (EP),
bearings (BRG), corrosion (COR).

Expected values, tolerances, sources and marks stand in check_values.yaml, entry by entry.
"""

from __future__ import annotations

import cmath
import math
from typing import Final

import pytest

from advisor import units
from advisor.driveline import balance, bearings, corrosion, fit, runout, shafts
from tests.published.values import (
    ENTRIES,
    Computations,
    Inputs,
    assert_reproduced,
    hertz,
    ids_of,
    parameters,
    rad,
)

FAMILIES: Final = ("CS", "UNB", "RUN", "EP", "BRG", "COR")

GMM: Final = 1e-6
"""One g*mm in kg*m."""
MM: Final = 1e-3
INCH: Final = 0.0254
SLUG_KG: Final = 14.593903
PSI_PA: Final = 6894.757
MILLION: Final = 1e6


def _constant(inputs: Inputs, unit_m: float) -> float:
    """K in n = K sqrt(D^2 + d^2) / L^2, read off a solid bar of one unit, where D is 1, d is 0."""
    material = shafts.Material(inputs["E_GPa"] * 1e9, inputs["rho"])
    return 60.0 * shafts.tube_critical_speed(unit_m, unit_m, unit_m / 2.0, material)


def _tube(inputs: Inputs) -> float:
    material = shafts.Material(inputs["E_GPa"] * 1e9, inputs["rho"])
    assert material in shafts.MATERIALS.values()
    name = next(n for n, known in shafts.MATERIALS.items() if known == material)
    wall = (inputs["D_mm"] - inputs["d_mm"]) / 2.0
    length, outside = inputs["L_mm"] * MM, inputs["D_mm"] * MM
    return 60.0 * shafts.critical_speed(length, outside, wall * MM, name)


def _inch_tube(inputs: Inputs) -> float:
    material = shafts.Material(inputs["E_psi"] * PSI_PA, inputs["rho_slug_in3"] * SLUG_KG / INCH**3)
    length, outside, wall = (inputs[key] * INCH for key in ("L_in", "D_in", "wall_in"))
    return 60.0 * shafts.tube_critical_speed(length, outside, wall, material)


def _lumped_tube(inputs: Inputs) -> float:
    """The textbook's answer is ours with all mass at mid span: its model, not our tube's."""
    uniform = _inch_tube(ENTRIES["CS-06"]["inputs"])
    assert uniform == pytest.approx(inputs["n_uniform"], rel=0.002)
    return uniform * math.sqrt(48.0) / math.pi**2


def _longest(inputs: Inputs) -> float:
    wall = (inputs["D_mm"] - inputs["d_mm"]) / 2.0 * MM
    top = hertz(inputs["n_max"])
    return shafts.longest_tube(top, inputs["D_mm"] * MM, wall, "steel", inputs["factor"]) / MM


def _force(inputs: Inputs) -> float:
    return balance.force_from_unbalance(inputs["U_gmm"] * GMM, hertz(inputs["rpm"]))


def _offset_um(inputs: Inputs) -> float:
    return 1e6 * balance.permissible_offset(inputs["G"], hertz(inputs["rpm"]))


def _allowed(inputs: Inputs) -> float:
    return balance.permissible_unbalance(inputs["G"], inputs["m_kg"], hertz(inputs["rpm"]))


def _allowed_in_planes(inputs: Inputs) -> list[float]:
    """The annex prints g*mm, with distances from the mass centre to the planes."""
    total = _allowed(inputs)
    a, b = inputs.get("L_A", 1.0), inputs.get("L_B", 1.0)
    parts = balance.unbalance_in_plane(total, a, b), balance.unbalance_in_plane(total, b, a)
    return [unbalance / GMM for unbalance in (total, *parts)]


def _correction(inputs: Inputs) -> list[float]:
    before, phase_before = inputs["A0"]
    trial, trial_place = inputs["trial"]
    after, phase_after = inputs["A1"]
    phases = rad(phase_before, phase_after)
    mass = balance.correction_mass(before, phases[0], trial / 1e3, after, phases[1])
    turn = balance.correction_turn(before, phases[0], after, phases[1])
    return [mass * 1e3, trial_place + math.degrees(turn)]


def _out_of_place(inputs: Inputs) -> float:
    unbalance = balance.unbalance_from_mass(inputs["m_g"] / 1e3, inputs["r_mm"] * MM)
    return balance.force_from_unbalance(unbalance, hertz(inputs["rpm"]))


def _shares(before_mm: float, after_mm: float, turn_deg: float = 0.0) -> list[float]:
    readings = before_mm * MM, after_mm * MM, math.radians(turn_deg)
    return [
        runout.shaft_share_of_runout(*readings) / MM,
        runout.flange_share_of_runout(*readings) / MM,
    ]


def _turned_shares(inputs: Inputs) -> list[float]:
    (before, before_at), (after, after_at) = inputs["R1"], inputs["R2"]
    return _shares(before, after, after_at - before_at)


def _converted(text: str, dimension: str, unit: str) -> float:
    return units.parse(text, dimension).si / units.unit_named(unit).factor


def _ring_change(inputs: Inputs) -> float:
    old, new = 1.5 * MM, (1.5 + inputs["delta_each"]) * MM
    return fit.end_play_change(old, old, new, new) / MM


def _life_hours(inputs: Inputs) -> float:
    angle = math.radians(inputs["beta_deg"])
    return bearings.joint_life(inputs["C_over_P"], angle, hertz(inputs["n_rpm"])) / 3600.0


COMPUTATIONS: Final[Computations] = {
    "CS-01": lambda i: _constant(i, MM),
    "CS-02": lambda i: _constant(i, INCH),
    "CS-03": lambda i: _constant(i, MM),
    "CS-04": _tube,
    "CS-05": _tube,
    "CS-06": _inch_tube,
    "CS-07": _lumped_tube,
    "CS-08": lambda i: 60.0 * shafts.advised_top_speed(hertz(i["n_crit"]), i["factor"]),
    "CS-09": lambda i: 60.0 * shafts.half_critical_speed(hertz(i["n_crit"])),
    "CS-10": _longest,
    "UNB-01": _force,
    "UNB-02": _force,
    "UNB-03": _offset_um,
    "UNB-04": _offset_um,
    "UNB-05": lambda i: _allowed_in_planes(i)[:2],
    "UNB-06": _allowed_in_planes,
    "UNB-07": lambda i: balance.unbalance_from_shift(i["m_kg"], i["shift_mm"] * MM) / GMM,
    "UNB-08": _force,
    "UNB-09": lambda i: i["w"] * balance.spread_effect(math.radians(i["spread_deg"])),
    "UNB-10": lambda i: math.degrees(balance.spread_for_effect(i["resultant"] / i["w"])),
    "UNB-11": _correction,
    "UNB-12": _out_of_place,
    "RUN-01": lambda i: runout.runout_from_offset(i["e_mm"] * MM) / MM,
    "RUN-02": lambda i: _shares(i["R1_mm"], i["R2_mm"]),
    "RUN-03": _turned_shares,
    "RUN-04": lambda i: _converted(f"{i['inch']} in", "length", "mm"),
    "EP-01": lambda i: fit.ring_stack_end_play(*(i[k] * MM for k in ("S", "W", "t1", "t2"))) / MM,
    "EP-02": lambda i: fit.ring_offset(i["t1"] * MM, i["t2"] * MM) / MM,
    "EP-03": lambda i: [
        computation(i["t1"] * MM, i["t2"] * MM, i["e"] * MM) / MM
        for computation in (fit.largest_offset, fit.ring_stack_runout)
    ],
    "EP-04": lambda i: fit.equal_ring_thickness(*(i[k] * MM for k in ("S", "W", "target"))) / MM,
    "EP-05": _ring_change,
    "EP-06": lambda i: fit.two_axis_offset(i["offset1"] * MM, i["offset2"] * MM) / MM,
    "EP-07": lambda i: _converted(f"{i['inch']} in", "length", "mm"),
    "EP-08": lambda i: [_converted(f"{nm} N*m", "torque", "in*lbf") for nm in i["Nm"]],
    "BRG-01": lambda i: bearings.rating_life(i["C_over_P"]) / MILLION,
    "BRG-02": lambda i: bearings.life_factor(i["torque_factor"]),
    "BRG-03": lambda i: bearings.life_factor(i["load_factor"], 3.0),
    "BRG-04": _life_hours,
    "BRG-05": lambda i: math.degrees(bearings.trunnion_travel(math.radians(i["beta_deg"]))),
    "BRG-06": lambda i: [
        bearings.life_after_change(math.radians(i["beta_deg"][0]), angle)
        for angle in rad(*i["beta_deg"])
    ],
    "BRG-07": lambda i: bearings.needle_load(
        i["T_Nm"], i["R_mm"] * MM, math.radians(i["beta_deg"])
    ),
    "BRG-08": lambda i: bearings.reliability_factor(0.95, i["slope"]),
    "COR-01": lambda i: corrosion.potential_gap(i["a"], i["b"]),
    "COR-02": lambda i: corrosion.potential_gap(i["a"], i["b"]),
    "COR-03": lambda i: corrosion.potential_gap(i["a"], i["b"]),
    "COR-04": lambda i: 1e3 * corrosion.potential_gap(i["a_mV"] / 1e3, i["b_mV"] / 1e3),
    "COR-05": lambda i: corrosion.potential_gap(i["a"], i["b"]),
}


@pytest.mark.parametrize("name", parameters(*FAMILIES))
def test_published_value_is_reproduced(name: str) -> None:
    """Each entry within its own tolerance."""
    assert_reproduced(name, COMPUTATIONS)


def test_every_entry_of_these_families_is_computed() -> None:
    """No entry of the file may be left out by forgetting it."""
    assert list(COMPUTATIONS) == ids_of(*FAMILIES)


def test_correction_cancels_the_first_vibration() -> None:
    """UNB-11 (M) another way: the influence of the trial mass, put to use, gives nil. abs 1e-12."""
    before, after = cmath.rect(4.0, math.radians(30)), cmath.rect(6.0, math.radians(90))
    influence = (after - before) / 10.0
    mass = balance.correction_mass(4.0, math.radians(30), 10.0, 6.0, math.radians(90))
    turn = balance.correction_turn(4.0, math.radians(30), 6.0, math.radians(90))
    assert abs(before + influence * cmath.rect(mass, turn)) == pytest.approx(0.0, abs=1e-12)


def test_textbook_print_of_the_short_tube_is_the_lumped_model() -> None:
    """A textbook exercise prints 5800 (F); the even tube gives 8262. rel 0.002."""
    assert _lumped_tube(ENTRIES["CS-07"]["inputs"]) == pytest.approx(5800.0, rel=0.002)
    assert _inch_tube(ENTRIES["CS-06"]["inputs"]) > 1.4 * 5800.0
