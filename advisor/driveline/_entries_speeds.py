"""Records of the functions about speeds: who turns how often, and whose vibration it is."""

from __future__ import annotations

from typing import Final

from advisor.driveline import rotation, tyres, vibration
from advisor.driveline._entry import Function, entry, needed, optional

_SPEED: Final = needed("road_speed", "speed", "true road speed")
_TYRE: Final = needed("tyre_diameter", "length", "free diameter of the tyre")
_WHEEL: Final = needed("wheel_frequency", "frequency", "turns of a wheel")
_ROLLING: Final = optional(
    "rolling_factor", "ratio", "rolling over free circumference; 0.97 if not given"
)
_FREQUENCY: Final = needed("frequency", "frequency", "frequency of the vibration")
_ACCELERATION: Final = needed("acceleration", "acceleration", "amplitude of the acceleration")

SPEED_FUNCTIONS: Final[tuple[Function, ...]] = (
    entry(
        "tyre-diameter",
        tyres.tyre_diameter,
        (needed("size", "text", "size on the side wall, like 265/70R17 or 31x10.50R15"),),
        result="length",
        formula="rim + 2 x width x aspect / 100, or the inches themselves",
        source="ETRTO and TRA markings; handbook section 9, ROT-01 (F, M)",
    ),
    entry(
        "wheel-frequency",
        rotation.wheel_frequency,
        (_SPEED, _TYRE, _ROLLING),
        result="frequency",
        formula="v / (pi D f)",
        source="handbook section 9, ROT-06 (F for the rolling factor)",
    ),
    entry(
        "road-speed",
        rotation.road_speed,
        (_WHEEL, _TYRE, _ROLLING),
        result="speed",
        formula="pi D f x turns of a wheel",
        source="handbook section 9, ROT-10 (F)",
    ),
    entry(
        "rolling-factor",
        rotation.rolling_factor,
        (_TYRE, _SPEED, _WHEEL),
        result="ratio",
        formula="v / (pi D x turns of a wheel)",
        source="handbook section 9, ROT-03 and ROT-04 (F)",
    ),
    entry(
        "shaft-frequency",
        rotation.shaft_frequency,
        (_WHEEL, needed("axle_ratio", "ratio", "turns of the shaft for one of the wheels")),
        result="frequency",
        formula="wheel x axle ratio",
        source="handbook section 9, ROT-07 (F)",
    ),
    entry(
        "engine-frequency",
        rotation.engine_frequency,
        (
            needed("shaft_frequency", "frequency", "turns of the propeller shaft"),
            needed("gear_ratio", "ratio", "turns of the engine for one of the shaft"),
        ),
        result="frequency",
        formula="shaft x gear ratio, without slip",
        source="handbook section 9, ROT-08 (F)",
    ),
    entry(
        "firing-frequency",
        rotation.firing_frequency,
        (
            needed("engine_frequency", "frequency", "turns of the engine"),
            needed("cylinders", "count", "number of cylinders of a four-stroke engine"),
        ),
        result="frequency",
        formula="cylinders / 2 x engine",
        source="handbook section 9, ROT-11 (F)",
    ),
    entry(
        "frequency-at-speed",
        rotation.frequency_at_speed,
        (
            _FREQUENCY,
            _SPEED,
            needed("other_speed", "speed", "the road speed to work it out for"),
        ),
        result="frequency",
        formula="frequency x other speed / road speed, for what turns with the wheels",
        source="handbook section 9, ROT-05 (F)",
    ),
    entry(
        "free-wheel-speed",
        rotation.free_wheel_speed,
        (
            needed("indicated_speed", "speed", "speed shown while the vehicle is lifted"),
            optional("held_speed", "speed", "speed of the held wheel; 0 if not given"),
        ),
        result="speed",
        formula="2 x indicated - held, open differential",
        source="service text; handbook section 15, SAF-01 (F)",
    ),
    entry(
        "matching-order",
        rotation.matching_order,
        (
            needed("measured", "frequency", "frequency of the vibration"),
            _WHEEL,
            optional("shaft_frequency", "frequency", "turns of the propeller shaft"),
            optional("engine_frequency", "frequency", "turns of the engine"),
            optional("cylinders", "count", "number of cylinders of a four-stroke engine"),
            optional("resolution", "frequency", "spacing of lines; 0.5 Hz if not given"),
        ),
        result="choice",
        options=(*rotation.ORDERS, rotation.NO_ORDER),
        formula="the nearest order within 3 % or the resolution",
        source="handbook section 9, ROT-12 and CAU-02 (F for the test, D; P for the tolerance)",
    ),
    entry(
        "displacement-amplitude",
        vibration.displacement_amplitude,
        (_ACCELERATION, _FREQUENCY),
        result="length",
        formula="a / (2 pi f)^2",
        source="handbook section 13, NVH-01 (D)",
    ),
    entry(
        "velocity-amplitude",
        vibration.velocity_amplitude,
        (_ACCELERATION, _FREQUENCY),
        result="speed",
        formula="a / (2 pi f)",
        source="handbook section 13, NVH-02 (D)",
    ),
    entry(
        "record-length",
        vibration.record_length,
        (needed("resolution", "frequency", "spacing of lines to be told apart"),),
        result="time",
        formula="1 / spacing",
        source="handbook section 9, ROT-14 (D)",
    ),
)
