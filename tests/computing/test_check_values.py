"""The handbook's check values come out of the typed commands, in the unit that was typed.

Expected values, tolerances, sources and marks stand in tests/published/check_values.yaml.
"""

from __future__ import annotations

import pytest

from tests.computing.asking import FOUR_CALIPER_READINGS, STACK, data_of
from tests.published.values import ENTRIES, assert_within

COMMANDS: list[tuple[str, str, tuple[str, ...], str, float]] = [
    # id, computation, inputs, unit of the result, how much of the expected unit that is
    ("KIN-04", "speed-fluctuation", ("joint_angle=3 deg",), "1", 1.0),
    ("KIN-05", "angle-of-fluctuation", ("total_fluctuation=0.0027",), "deg", 1.0),
    (
        "KIN-06",
        "inertia-acceleration",
        ("joint_angle=20 deg", "shaft_frequency=1500 rpm"),
        "rad/s^2",
        1.0,
    ),
    ("KIN-12", "joint-lead", ("joint_angle=10 deg",), "deg", 1.0),
    (
        "DL-01",
        "residual-angle-of-joints",
        ("joint_angle_1=5 deg", "joint_angle_2=4 deg"),
        "deg",
        1.0,
    ),
    (
        "DL-03",
        "residual-angle-of-joints",
        ("joint_angle_1=3 deg", "joint_angle_2=4 deg", "crossed=yes"),
        "deg",
        1.0,
    ),
    (
        "DL-12",
        "angle-for-acceleration",
        ("acceleration=400 rad/s^2", "shaft_frequency=1500 rpm"),
        "deg",
        1.0,
    ),
    (
        "DL-15",
        "allowed-second-angle",
        ("residual_angle=7.3 deg", "joint_angle=4 deg"),
        "deg",
        1.0,
    ),
    ("CMP-01", "joint-angle-from-views", ("side_view=4 deg", "plan_view=3 deg"), "deg", 1.0),
    (
        "CMP-08",
        "centre-distance",
        ("rearward=1500 mm", "sideways=60 mm", "rise=-120 mm"),
        "mm",
        1.0,
    ),
    (
        "KIN-07",
        "inertia-torque",
        ("mass=12 kg", "radius_of_gyration=0.1 m", "acceleration=3083.4 rad/s^2"),
        "N*m",
        1.0,
    ),
    ("MOM-01", "driving-bending-moment", ("torque=300 N*m", "joint_angle=6 deg"), "N*m", 1.0),
    (
        "CS-04",
        "critical-speed",
        ("length=1600 mm", "outside_diameter=88.9 mm", "wall=2.1 mm", "material=steel"),
        "rpm",
        1.0,
    ),
    (
        "CS-05",
        "critical-speed",
        ("length=1.6 m", "outside_diameter=4 in", "wall=3.2 mm", "material=aluminium"),
        "rpm",
        1.0,
    ),
    ("CS-08", "advised-top-speed", ("critical_frequency=5803.4 rpm",), "rpm", 1.0),
    (
        "CS-10",
        "longest-tube",
        ("top_frequency=4500 rpm", "outside_diameter=88.9 mm", "wall=2.1 mm", "material=steel"),
        "mm",
        1.0,
    ),
    ("UNB-01", "force-from-unbalance", ("unbalance=100 g*mm", "shaft_frequency=50 Hz"), "N", 1.0),
    ("UNB-07", "unbalance-from-shift", ("shaft_mass=9 kg", "shift=0.05 mm"), "g*mm", 1.0),
    ("UNB-10", "spread-for-effect", ("effect=1",), "deg", 1.0),
    ("RUN-01", "runout-from-offset", ("offset=0.4 mm",), "mm", 1.0),
    ("EP-01", "ring-stack-end-play", STACK, "mm", 1.0),
    ("EP-02", "ring-offset", ("ring_1=1.50 mm", "ring_2=1.52 mm"), "mm", 1.0),
    ("EP-04", "equal-ring-thickness", ("span=80 mm", "width=76.95 mm"), "mm", 1.0),
    ("EP-06", "two-axis-offset", ("offset_1=0.025 mm", "offset_2=25 um"), "mm", 1.0),
    ("ROT-01", "tyre-diameter", ("size=265/70R17",), "mm", 1.0),
    (
        "ROT-05",
        "frequency-at-speed",
        ("frequency=1.17 Hz", "road_speed=5 mph", "other_speed=60 mph"),
        "Hz",
        1.0,
    ),
    ("ROT-06", "wheel-frequency", ("road_speed=100 km/h", "tyre_diameter=802.8 mm"), "Hz", 1.0),
    ("ROT-14", "record-length", ("resolution=0.5 Hz",), "s", 1.0),
    (
        "BRG-04",
        "joint-life",
        ("load_ratio=5", "joint_angle=3 deg", "shaft_frequency=1000 rpm"),
        "h",
        1.0,
    ),
    ("BRG-05", "trunnion-travel", ("joint_angle=3 deg",), "deg", 1.0),
    ("NVH-01", "displacement-amplitude", ("acceleration=0.1 m/s^2", "frequency=40 Hz"), "mm", 1e-3),
    ("NVH-02", "velocity-amplitude", ("acceleration=0.1 m/s^2", "frequency=40 Hz"), "m/s", 1e-3),
    ("SAF-01", "free-wheel-speed", ("indicated_speed=35 mph",), "mph", 1.0),
    (
        "SAF-02",
        "stored-energy",
        ("mass=2 kg", "radius_of_gyration=100 mm", "shaft_frequency=3000 rpm"),
        "J",
        1.0,
    ),
]


@pytest.mark.parametrize(
    ("check", "name", "inputs", "unit", "size"),
    [pytest.param(*one, id=f"{one[0]}-{ENTRIES[one[0]]['mark']}") for one in COMMANDS],
)
def test_command_reproduces_the_check_value(
    check: str, name: str, inputs: tuple[str, ...], unit: str, size: float
) -> None:
    entry = ENTRIES[check]
    data = data_of(name, *inputs)
    assert data["unit"] == unit
    assert_within(data["result"] / size, entry["expected"], entry["tolerance"], check)


@pytest.mark.parametrize("index", [0, 1])
def test_four_caliper_readings_give_the_uncertainty_of_the_handbook(index: int) -> None:
    """UNC-04 (D): the standard uncertainty, and twice it as the guard band."""
    data = data_of(
        "ring-stack-end-play", *STACK, gauges=FOUR_CALIPER_READINGS, limit="0 mm to 0.05 mm"
    )
    got = (data["u"], data["verdict"]["guard"])[index]
    assert_within(got, ENTRIES["UNC-04"]["expected"][index], "abs 1e-5", "UNC-04")


def test_uncertain_bends_give_the_uncertainty_of_the_handbook() -> None:
    """UNC-11 (M): 5 deg against 4 deg, each known to 0.1 deg."""
    data = data_of(
        "residual-angle-of-joints",
        "joint_angle_1=5 deg +/- 0.1 deg",
        "joint_angle_2=4 deg ± 0.1 deg",
    )
    assert_within(data["u"], ENTRIES["UNC-11"]["expected"], "abs 0.005", "UNC-11")


@pytest.mark.parametrize(
    ("check", "inputs", "said"),
    [
        ("ROT-12", ("14 Hz", "7 Hz", "22 Hz"), "2x wheel"),
        ("CAU-02", ("42.4 Hz", "11.355 Hz", "42.352 Hz"), "1x shaft"),
    ],
)
def test_order_is_named_as_the_handbook_names_it(
    check: str, inputs: tuple[str, ...], said: str
) -> None:
    """ROT-12 (F) and CAU-02 (D)."""
    names = ("measured", "wheel_frequency", "shaft_frequency")
    words = [f"{name}={value}" for name, value in zip(names, inputs, strict=True)]
    assert said == ENTRIES[check]["expected"]
    answer = data_of("matching-order", *words)
    assert answer["result"].replace("-", " ") == said
    assert answer["unit"] is None
