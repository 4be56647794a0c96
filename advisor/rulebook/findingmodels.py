"""The findings of a rulebook as they stand in its files."""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import Field

from .fields import Amount, Condition, Model, Rate, Text, TwoAmounts

ANYTHING_ELSE = "anything-else"


class RatesModel(Model):
    """How often one value of a finding is seen."""

    usual: Rate = Field(description="rate on vehicles whose trouble is something else")
    with_: dict[str, Rate] = Field(
        default={}, alias="with", description="cause id: rate with that cause"
    )


class BandModel(RatesModel):
    """A stretch of a number, by exactly one of below, between and above, and its rates."""

    below: Amount | None = Field(default=None, description="all numbers below this one")
    between: TwoAmounts | None = Field(default=None, description="from the first to the second")
    above: Amount | None = Field(default=None, description="all numbers above this one")


class FindingModel(Model):
    """Something true, false or unknown about a vehicle that speaks for or against causes."""

    says: Text = Field(description="what is so when the finding is true, or what it is about")
    source: Text = Field(description='where the rates come from, "judgement" or "common practice"')
    observation: Text | None = Field(
        default=None, description="word shared by findings that restate one observation"
    )
    why: Text | None = Field(default=None, description="why it tells the causes apart")
    stop_driving: Text | None = Field(
        default=None,
        description="id of the caution shown at once when it is true; with `when` only",
    )


class YesNoFinding(FindingModel):
    """A finding that is true or false, by a condition."""

    when: Condition = Field(min_length=1, description="condition under which it is true")
    usual: Rate = Field(description="rate on vehicles whose trouble is something else")
    with_: dict[str, Rate] = Field(
        default={}, alias="with", description="cause id: rate with that cause"
    )
    why: Text = Field(description="why it tells the causes apart, in one sentence")


class ChoiceFinding(FindingModel):
    """A finding of several values, by the options of a choice."""

    choice: Text = Field(description="id of the choice question, or of a computed choice")
    values: dict[str, RatesModel] = Field(
        min_length=2,
        description=f'option id: rates; "{ANYTHING_ELSE}" collects all options not listed',
    )
    stop_driving: None = Field(default=None, description="not for a finding of several values")


class BandsFinding(FindingModel):
    """A finding of several values, by bands of a number that fill the whole line."""

    bands: Text = Field(description="id of the number question or computed number")
    values: dict[str, BandModel] = Field(min_length=2, description="name of the band: its rates")
    stop_driving: None = Field(default=None, description="not for a finding of several values")


FINDING_KINDS: Mapping[str, type[FindingModel]] = {
    "when": YesNoFinding,
    "choice": ChoiceFinding,
    "bands": BandsFinding,
}
