"""An overlay as it stands in its file: rates that confirmed cases propose beside the author's."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field

from .fields import Commonness, Model, Rate, Text

FORMAT: Final = 1

Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
Inner = Annotated[float, Field(gt=0, lt=1, allow_inf_nan=False)]
Weight = Annotated[float, Field(gt=0, allow_inf_nan=False)]
Count = Annotated[int, Field(ge=0)]


class RateChange(Model):
    """A rate as the author wrote it, and as the cases have it."""

    old: Rate = Field(description="the author's rate when the overlay was made")
    new: Rate = Field(description="the rate that takes its place")
    cases: Count = Field(description="closed cases behind the new rate")
    low: Share = Field(description="lower end of the 95 % interval of the rate")
    high: Share = Field(description="upper end of the 95 % interval of the rate")


class ShareChange(Model):
    """The share of *none of the listed* as the author wrote it, and as the cases have it."""

    old: Inner = Field(description="the author's share when the overlay was made")
    new: Inner = Field(description="the share that takes its place")
    cases: Count = Field(description="closed cases behind the new share")
    low: Share = Field(description="lower end of the 95 % interval of the share")
    high: Share = Field(description="upper end of the 95 % interval of the share")


class CommonnessChange(Model):
    """A commonness as the author wrote it, and as the cases have it, on the same scale."""

    old: Commonness = Field(description="the author's commonness when the overlay was made")
    new: Commonness = Field(description="the commonness that takes its place")
    cases: Count = Field(description="closed cases with this cause")
    low: Annotated[float, Field(ge=0, allow_inf_nan=False)] = Field(
        description="lower end of the 95 % interval of the commonness"
    )
    high: Weight = Field(description="upper end of the 95 % interval of the commonness")


class RateChanges(Model):
    """The changed rates of one outcome; whatever is left out stays as the author has it."""

    usual: RateChange | None = Field(
        default=None, description="rate on vehicles whose trouble is something else"
    )
    with_: dict[str, RateChange] = Field(
        default={}, alias="with", description="cause id: rate with that cause"
    )


class FindingChange(RateChanges):
    """The changed rates of a finding, laid out as the finding itself is."""

    values: dict[str, RateChanges] = Field(
        default={}, description="for a finding of several values: value: its changed rates"
    )


class OverlayRulebook(Model):
    """The rulebook that an overlay was made for."""

    id: Text = Field(description="id of the rulebook")
    version: Text = Field(description="its version, in quotes")


class OverlayModel(Model):
    """Rates from closed cases that take the place of the author's while the overlay is given."""

    format: int = Field(description="number of the format that the program must understand: 1")
    rulebook: OverlayRulebook = Field(description="the rulebook that the overlay was made for")
    cases: Count = Field(description="closed cases that were counted")
    strength: Weight = Field(description="how many cases the author's rate counted as")
    none_of_the_listed: ShareChange | None = Field(
        default=None, description="share of vehicles whose trouble is none of the listed causes"
    )
    commonness: dict[str, CommonnessChange] = Field(
        default={}, description="cause id: how common it is, relative to the other causes"
    )
    findings: dict[str, FindingChange] = Field(
        default={}, description="finding id: its changed rates"
    )
