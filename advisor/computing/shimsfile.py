"""The file of the verb `shims`: what it may hold. Amounts are texts with their unit."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, Final, Literal

from pydantic import Field, Strict

from advisor.rulebook.fields import Amount, Model, Text

FORMAT: Final = 1

Amounts = Annotated[tuple[Amount, ...], Strict(False)]
SomeAmounts = Annotated[tuple[Amount, ...], Strict(False), Field(min_length=1, max_length=200)]


class LoadModel(Model):
    """The members' slopes at one ride height, front to rear; rising to the rear is positive."""

    slopes: Annotated[
        tuple[Amount, ...],
        Strict(False),
        Field(min_length=3, max_length=4, description="gearbox, shaft (front, rear), pinion"),
    ]
    headings: Annotated[
        tuple[Amount, ...],
        Strict(False),
        Field(min_length=3, max_length=4, description="directions as seen from above"),
    ] = ()


class LimitsModel(Model):
    """Between what every joint angle should stay, and who says so."""

    smallest: Amount = Field(description="so that the needles roll")
    greatest: Amount = Field(description="at road speed")
    source: Text = Field(description="whose limits these are: the maker's go first")


class InclinometerModel(Model):
    """How finely and how truly the inclinometer reads."""

    step: Amount = Field(description="smallest step of its display")
    limit: Amount = Field(description="its error limit")


class FrameModel(Model):
    """The whole file but its loads and adjustments, which are read one by one."""

    format: int = Field(description="number of the format that the program must understand: 1")
    vehicle: Text = Field(default="", description="the vehicle, in free words")
    loads: dict[str, Any] = Field(
        min_length=1, max_length=50, description="name of a load: its slopes"
    )
    crossed: Annotated[tuple[bool, ...], Strict(False)] = Field(
        default=(), description="for each shaft: true when its forks stand at a right angle"
    )
    adjustments: Annotated[tuple[Any, ...], Strict(False)] = Field(
        description="places where a part can be put"
    )
    limits: LimitsModel | None = Field(default=None, description="limits of the joint angles")
    inclinometer: InclinometerModel | None = Field(default=None, description="the gauge used")
    shaft_speed: Amount | None = Field(default=None, description="shaft speed of the complaint")


class WedgeModel(Model):
    """Wedges under the axle; a positive size raises its nose."""

    name: Text
    kind: Literal["wedge"]
    sizes: SomeAmounts = Field(description="with sign; leaving it as it is is always tried")
    pinion_length: Amount = Field(description="from the axle's centre to the rear joint")
    shaft_length: Amount = Field(description="length of the last shaft")


class MountShimModel(Model):
    """Plates under the rear mount of engine and gearbox; a positive size raises it."""

    name: Text
    kind: Literal["mount-shim"]
    sizes: SomeAmounts
    mount_distance: Amount = Field(description="from the front mounts to the rear mount")
    joint_distance: Amount = Field(description="from the front mounts to the front joint")
    shaft_length: Amount = Field(
        description="from the front joint to the next one; with two pieces to the centre support"
    )
    support_to_joint: Amount | None = Field(
        default=None, description="two pieces only: from the support back to the centre joint"
    )
    rear_shaft_length: Amount | None = Field(
        default=None, description="two pieces only: length of the rear shaft"
    )


class SupportShimModel(Model):
    """Plates that move the centre support; a positive size raises it."""

    name: Text
    kind: Literal["support-shim"]
    sizes: SomeAmounts
    support_distance: Amount = Field(description="from the front joint to the support")
    centre_joint_distance: Amount = Field(description="from the front joint to the centre joint")
    rear_shaft_length: Amount = Field(description="length of the rear shaft")


class DirectModel(Model):
    """Any part whose effect on the slopes was measured or is known."""

    name: Text
    kind: Literal["direct"]
    sizes: SomeAmounts = Field(description="angles or lengths, as `per`")
    per: Amount = Field(description="the size that changes the slopes by `effects`")
    effects: Annotated[
        tuple[Amount, ...],
        Strict(False),
        Field(min_length=3, max_length=4, description="change of each member's slope"),
    ]


AdjustmentModel = WedgeModel | MountShimModel | SupportShimModel | DirectModel

KINDS: Final[Mapping[str, type[AdjustmentModel]]] = MappingProxyType(
    {
        "direct": DirectModel,
        "mount-shim": MountShimModel,
        "support-shim": SupportShimModel,
        "wedge": WedgeModel,
    }
)
