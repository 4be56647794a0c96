"""The JSON of compute, orders, shims and trial-weights; u is a standard uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Decision = Literal["within", "outside", "cannot-tell"]


@dataclass(frozen=True)
class Computation:
    """One line of the list of computations."""

    name: str
    meaning: str
    group: str


@dataclass(frozen=True)
class Computations:
    """All computations: `compute` without a name."""

    format: int
    computations: tuple[Computation, ...]


@dataclass(frozen=True)
class Parameter:
    """What a computation takes; `usual` are the smallest and the greatest usual value."""

    name: str
    dimension: str
    meaning: str
    optional: bool
    units: tuple[str, ...]
    options: tuple[str, ...]
    usual: tuple[str, ...] | None


@dataclass(frozen=True)
class Needs:
    """What one computation takes and gives: `compute NAME` without inputs."""

    format: int
    name: str
    formula: str
    source: str
    notes: tuple[str, ...]
    meaning: str
    parameters: tuple[Parameter, ...]
    result: str
    options: tuple[str, ...]
    published: tuple[str, ...]


@dataclass(frozen=True)
class Input:
    """An input as typed, in its unit and in SI; null where it has no unit."""

    name: str
    typed: str
    value: float | str | bool | None
    unit: str | None
    u: float | None
    gauge: str | None
    si: float | None
    u_si: float | None


@dataclass(frozen=True)
class BetterGauge:
    """The gauge that would settle what cannot be told."""

    gauge: str
    inputs: tuple[str, ...]
    u: float
    decision: Decision


@dataclass(frozen=True)
class Verdict:
    """The result against a limit of one's own; numbers in `unit`."""

    limit: str
    lower: float | None
    upper: float | None
    unit: str
    decision: Decision
    rule: str
    guard: float
    probability: float
    largest_u_within: float | None
    largest_u_outside: float | None
    better_gauge: BetterGauge | None


@dataclass(frozen=True)
class PublishedVerdict:
    """The result against a published limit; numbers in `unit`."""

    quantity: str
    lower: float | None
    upper: float | None
    unit: str
    whose: str
    mark: str
    decision: Decision
    guard: float
    probability: float


@dataclass(frozen=True)
class Result:
    """A result with its limits: `compute NAME` with inputs."""

    format: int
    name: str
    formula: str
    source: str
    notes: tuple[str, ...]
    inputs: tuple[Input, ...]
    result: float | str | bool | None
    unit: str | None
    u: float | None
    result_si: float | None
    u_si: float | None
    verdict: Verdict | None
    published: tuple[PublishedVerdict, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class SweepPoint:
    """The result at one value of the swept input; null where there is none."""

    value: float
    si: float
    result: float | str | bool | None
    unit: str | None
    u: float | None
    result_si: float | None
    u_si: float | None


@dataclass(frozen=True)
class SweptInput:
    """The input that was swept, with the result at each of its values."""

    parameter: str
    unit: str
    u: float
    gauge: str | None
    points: tuple[SweepPoint, ...]


@dataclass(frozen=True)
class SweepResult:
    """A result over an input: `compute NAME --sweep`."""

    format: int
    name: str
    formula: str
    source: str
    notes: tuple[str, ...]
    inputs: tuple[Input, ...]
    sweep: SweptInput
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class FormInput:
    """One thing that may be given; `usual` are the smallest and the greatest usual value."""

    name: str
    dimension: str
    meaning: str
    optional: bool
    usual: tuple[str, ...] | None


@dataclass(frozen=True)
class FormNeeds:
    """What the verb takes: the verb without inputs."""

    format: int
    name: str
    gives: str
    inputs: tuple[FormInput, ...]
    example: str
    source: str


@dataclass(frozen=True)
class Given:
    """What was put in; a text has neither value nor unit."""

    name: str
    typed: str
    value: float | None
    unit: str | None
    si: float | None


@dataclass(frozen=True)
class Order:
    """A rotation order with its frequency."""

    order: str
    hz: float
    rpm: float


@dataclass(frozen=True)
class Fit:
    """How probably the measured frequency is this order; "none-of-these" has no frequency."""

    order: str
    hz: float | None
    probability: float


@dataclass(frozen=True)
class Experiment:
    """A way to part two orders, with the frequency that each would then have."""

    name: str
    minutes: float
    first_hz: float
    second_hz: float
    separates: bool
    record_s: float


@dataclass(frozen=True)
class OrderPair:
    """Two orders that fit nearly alike; `wanted` are inputs that allow more experiments."""

    first: str
    second: str
    wanted: tuple[str, ...]
    experiments: tuple[Experiment, ...]


@dataclass(frozen=True)
class Orders:
    """The orders, and which of them the measured frequency fits; frequencies in Hz."""

    format: int
    inputs: tuple[Given, ...]
    formula: str
    source: str
    orders: tuple[Order, ...]
    resolution_hz: float
    tolerance: float
    fits: tuple[Fit, ...]
    pairs: tuple[OrderPair, ...]
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Run:
    """A run with the trial mass at one place."""

    place_rad: float
    amplitude: float


@dataclass(frozen=True)
class Correction:
    """The mass to fit and where, in SI and as typed."""

    mass_kg: float
    u_mass_kg: float
    angle_rad: float
    u_angle_rad: float
    mass: float
    u_mass: float
    mass_unit: str
    angle: float
    u_angle: float
    angle_unit: str


@dataclass(frozen=True)
class Clamps:
    """Where two clamps go, or why two are not enough."""

    clamps_rad: tuple[float, ...] | None
    spread_rad: float | None
    remark: str


@dataclass(frozen=True)
class TrialWeights:
    """The correction from runs with a trial mass; amplitudes in `amplitude_unit`."""

    format: int
    inputs: tuple[Given, ...]
    formula: str
    source: str
    initial: float
    u: float
    amplitude_unit: str
    runs: tuple[Run, ...]
    correction: Correction
    consistent: bool
    misfit: float
    remark: str
    expected_amplitude: float
    clamps: Clamps | None
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class ShimPart:
    """A part to put in; a null step leaves it as it is."""

    name: str
    kind: str
    step: str | None
    step_si: float | None


@dataclass(frozen=True)
class AngleChange:
    """An angle before and after, with standard uncertainties."""

    before_deg: float
    u_before_deg: float
    after_deg: float
    u_after_deg: float


@dataclass(frozen=True)
class WorstResidual(AngleChange):
    """The greatest residual angle of all loads, and what is gained."""

    gain_deg: float
    u_gain_deg: float
    gain_is_sure: bool


@dataclass(frozen=True)
class ShimLimits:
    """Between which the joint angles should lie."""

    smallest_deg: float
    greatest_deg: float
    source: str


@dataclass(frozen=True)
class ShimLoad:
    """One load of the vehicle."""

    name: str
    residual: AngleChange
    joints: tuple[AngleChange, ...]


@dataclass(frozen=True)
class AccelerationLimit:
    """A published limit, and what is so before and after."""

    limit: float
    whose: str
    before: Decision
    after: Decision


@dataclass(frozen=True)
class Acceleration:
    """The torsional acceleration in rad/s^2."""

    shaft_speed_hz: float
    before: float
    u_before: float
    after: float
    u_after: float
    limits: tuple[AccelerationLimit, ...]


@dataclass(frozen=True)
class Shims:
    """Which wedge and shims to put in, and what becomes of the angles."""

    format: int
    vehicle: str
    parts: tuple[ShimPart, ...]
    worst_residual: WorstResidual
    joints_allowed: bool
    limits: ShimLimits
    remarks: tuple[str, ...]
    loads: tuple[ShimLoad, ...]
    acceleration: Acceleration | None
    u_slope_deg: float
    formula: str
    source: str
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
