"""What is usual in a shop: a number outside it is told, and worked with all the same."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from advisor import units
from advisor.driveline.catalog import Function, Parameter

Range = tuple[str, str]

_RING: Final = ("0.5 mm", "4 mm")
_FIT: Final = ("25 mm", "200 mm")
_BEND: Final = ("0 deg", "45 deg")
_SLOPE: Final = ("-45 deg", "45 deg")
_RUNOUT: Final = ("0 mm", "15 mm")
_ROAD: Final = ("1 km/h", "250 km/h")
_FORK: Final = ("-180 deg", "180 deg")
_TORQUE: Final = ("1 N*m", "10000 N*m")
_TRUNNION: Final = ("5 mm", "60 mm")
_TURNING: Final = ("0.1 Hz", "250 Hz")

_USUAL: Final[Mapping[str, Range]] = MappingProxyType(
    {
        "after": _RUNOUT,
        "axle_ratio": ("1", "8"),
        "before": _RUNOUT,
        "circle_diameter": _TRUNNION,
        "cylinders": ("1", "16"),
        "dent_spacing": ("1 mm", "10 mm"),
        "end_play": ("-0.5 mm", "1.5 mm"),
        "engine_frequency": _TURNING,
        "fork_turn_1": _FORK,
        "fork_turn_2": _FORK,
        "fork_turn_3": _FORK,
        "gear_ratio": ("0.4", "10"),
        "indicated_speed": _ROAD,
        "joint_angle": _BEND,
        "joint_angle_1": _BEND,
        "joint_angle_2": _BEND,
        "joint_angle_3": _BEND,
        "joint_angle_4": _BEND,
        "length": ("0.2 m", "3 m"),
        "lever_arm": ("20 mm", "1000 mm"),
        "needles": ("10", "60"),
        "new_angle": _BEND,
        "new_clearance": ("0 mm", "0.1 mm"),
        "new_frequency": _TURNING,
        "new_ring_1": _RING,
        "new_ring_2": _RING,
        "new_torque": _TORQUE,
        "new_width": _FIT,
        "old_angle": _BEND,
        "old_frequency": _TURNING,
        "old_ring_1": _RING,
        "old_ring_2": _RING,
        "old_torque": _TORQUE,
        "old_width": _FIT,
        "other_speed": _ROAD,
        "outside_diameter": ("30 mm", "200 mm"),
        "plane_2": _FORK,
        "plane_3": _FORK,
        "plane_4": _FORK,
        "pull": ("0.1 N", "100 N"),
        "pull_angle": ("30 deg", "150 deg"),
        "ring_1": _RING,
        "ring_2": _RING,
        "road_speed": _ROAD,
        "rolling_factor": ("0.9", "1"),
        "shaft_frequency": _TURNING,
        "shaft_mass": ("1 kg", "100 kg"),
        "slope": _SLOPE,
        "slope_1": _SLOPE,
        "slope_2": _SLOPE,
        "slope_3": _SLOPE,
        "slope_4": _SLOPE,
        "slope_5": _SLOPE,
        "spacing_u": ("0.001 mm", "0.5 mm"),
        "span": _FIT,
        "target": ("0 mm", "0.2 mm"),
        "trunnion_radius": ("10 mm", "100 mm"),
        "tyre_diameter": ("0.4 m", "1.3 m"),
        "unworn_diameter": _TRUNNION,
        "wall": ("0.5 mm", "10 mm"),
        "wheel_frequency": ("0.1 Hz", "60 Hz"),
        "width": _FIT,
        "worn_diameter": _TRUNNION,
    }
)
"""By the parameter's name, where it means the same in every computation (judgement)."""

_USUAL_HERE: Final[Mapping[tuple[str, str], Range]] = MappingProxyType(
    {
        ("permissible-unbalance", "mass"): ("1 kg", "100 kg"),
        ("unbalance-from-mass", "mass"): ("0.1 g", "500 g"),
        ("unbalance-from-mass", "radius"): ("10 mm", "400 mm"),
    }
)


def usual_range(function: Function, parameter: Parameter) -> Range | None:
    """The smallest and the greatest usual value in words, or None where nothing is usual."""
    return _USUAL_HERE.get((function.name, parameter.name)) or _USUAL.get(parameter.name)


def range_warning(
    function: Function, parameter: Parameter, si: float, unit: units.Unit
) -> str | None:
    """What to say of a number outside its usual range, or None."""
    usual = usual_range(function, parameter)
    return outside(parameter.name, usual, si, unit) if usual else None


def outside(name: str, usual: Range, si: float, unit: units.Unit) -> str | None:
    """What to say of a number outside `usual`, or None; its unit is of the same dimension."""
    low, high = (units.parse(end, unit.dimension) for end in usual)
    # The ends belong to the range, and 8 in of a span may miss 200 mm by no more than rounding.
    slack = 1e-9 * (high.si - low.si)
    if low.si - slack <= si <= high.si + slack:
        return None
    read = units.show(si, unit)
    if unit != low.unit:
        read += f", which is {units.show(si, low.unit)}"
    return f"{name}: read {read}; expected {low} to {high}; look at the number and unit"
