"""The records of a rulebook as they stand in its files: all but findings."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field
from pydantic.types import Strict

from .fields import (
    MOST_MINUTES,
    Amount,
    Commonness,
    Condition,
    Minutes,
    Model,
    Text,
    Texts,
    TwoAmounts,
)

FORMAT = 1


class MetaModel(Model):
    """What the rulebook as a whole says of itself."""

    format: int = Field(description="number of the format that the program must understand: 1")
    id: Text = Field(description="id of the rulebook; a case names it")
    version: Text = Field(description='the rulebook\'s own version, as text: "0.1.0"')
    title: Text = Field(description="what the rulebook is for, in a few words")
    none_of_the_listed: float = Field(
        gt=0, lt=1, description="share of vehicles whose trouble is none of the listed causes"
    )
    pair_factor: float = Field(
        ge=0, le=1, description="weight of a pair of causes against the product of their shares"
    )
    escalation_minutes: float = Field(
        gt=0, le=MOST_MINUTES, description="minutes that handing the vehicle on costs"
    )
    opening: Texts = Field(default=(), description="ids of the tests asked first, in this order")


class PlaceModel(Model):
    """Where tests are done."""

    name: Text = Field(description="the place in words: At the desk")
    minutes: Minutes = Field(description="what going there costs once, in minutes")
    driving: bool = Field(
        default=False,
        description="true: the vehicle is driven there; closed once it is unsafe to drive",
    )
    cautions: Texts = Field(default=(), description="ids of cautions shown before going there")


class CautionModel(Model):
    """A safety text, shown before the step that needs it."""

    text: Text = Field(description="the caution, in full sentences")
    source: Text = Field(description='where it comes from, or "common practice, no source"')


class GaugeModel(Model):
    """A measuring tool: its uncertainty is u = sqrt(step^2 / 12 + limit^2 / 3) (JCGM 100)."""

    name: Text = Field(description="the tool in words: Digital caliper")
    step: Amount = Field(description="smallest step it shows, with unit: 0.01 mm")
    limit: Amount = Field(description="largest error it may have, with unit: 0.02 mm")
    source: Text = Field(description="where step and limit come from")


class GaugeChange(Model):
    """What a user says of a gauge of the rulebook: the step and limit of the tool at hand."""

    step: Amount | None = Field(default=None, description="smallest step it shows, with unit")
    limit: Amount | None = Field(default=None, description="largest error it may have, with unit")


class ConcernModel(Model):
    """How an answer reads in the concern statement of the repair order."""

    about: Literal["what", "where", "when", "speed", "load", "since", "work"] = Field(
        description="what it tells of the complaint: what, where, when, speed, load, since or work"
    )
    says: Text = Field(
        description='a sentence without its full stop, {answer} in it: "It is worst at {answer}"; '
        "for a yes-no question what yes means"
    )
    options: dict[str, Text] = Field(
        default={},
        description="option id, or no: a sentence of its own, where the other does not fit",
    )


class QuestionModel(Model):
    """One thing asked or measured; the kinds of question add their own fields."""

    ask: Text = Field(description="wording for the technician")
    customer: Text | None = Field(
        default=None, description="wording when a service advisor asks a customer"
    )
    kind: Literal["yes-no", "choice", "choices", "number", "text"] = Field(
        description="what an answer is: yes-no, choice, choices, number or text"
    )
    why: Text = Field(description="why it is asked, for a reader who doubts that it matters")
    how: Text | None = Field(default=None, description="how to find out, or how to measure")
    ask_if: Condition | None = Field(
        default=None, description="condition; the question is only asked when it is true"
    )
    concern: ConcernModel | None = Field(
        default=None, description="how the answer reads in the concern statement"
    )
    lasts: Literal["vehicle", "part"] | None = Field(
        default=None,
        description="how long an answer holds when the vehicle comes back: vehicle, for good; "
        "part, until work on what it is about; without it, it is asked again",
    )
    place: Text | None = Field(
        default=None, description="id of the place, for a question that is a test by itself"
    )
    minutes: Minutes | None = Field(
        default=None, description="minutes it takes there; together with place"
    )
    cautions: Texts = Field(default=(), description="ids of cautions; only together with place")


class YesNoQuestion(QuestionModel):
    """A question answered yes or no."""

    kind: Literal["yes-no"] = Field(description="an answer is yes or no")


class ChoiceQuestion(QuestionModel):
    """A question answered by one of its options."""

    kind: Literal["choice"] = Field(description="an answer is one of the options")
    options: dict[str, Text] = Field(min_length=2, description="option id: label")


class ChoicesQuestion(QuestionModel):
    """A question answered by any number of its options."""

    kind: Literal["choices"] = Field(description="an answer is any number of the options")
    options: dict[str, Text] = Field(min_length=2, description="option id: label")
    alone: Text | None = Field(
        default=None,
        description='id of the option that says "none of the others"; it is chosen alone',
    )


class NumberQuestion(QuestionModel):
    """A question answered by a number with a unit."""

    kind: Literal["number"] = Field(description="an answer is a number with a unit")
    unit: Text = Field(description="unit offered first; any unit of its dimension may be typed")
    gauge: Text | None = Field(
        default=None, description="id of the gauge; without one the number counts as exact"
    )
    range: TwoAmounts | None = Field(
        default=None, description="plausible range; outside it the user is asked to confirm"
    )


class TextQuestion(QuestionModel):
    """A question answered in free text."""

    kind: Literal["text"] = Field(description="an answer is text")


QUESTION_KINDS: Mapping[str, type[QuestionModel]] = {
    "choice": ChoiceQuestion,
    "choices": ChoicesQuestion,
    "number": NumberQuestion,
    "text": TextQuestion,
    "yes-no": YesNoQuestion,
}


class TestModel(Model):
    """Work in one place that answers one or more questions."""

    __test__ = False

    name: Text = Field(description="the work in words: Measure both retaining rings")
    place: Text = Field(description="id of the place")
    minutes: Minutes = Field(description="minutes it takes, without the way there")
    answers: Texts = Field(min_length=1, description="ids of the questions that it answers")
    how: Text | None = Field(default=None, description="how to do it")
    cautions: Texts = Field(default=(), description="ids of cautions shown before it")


class ComputedModel(Model):
    """A fact worked out from others by a function."""

    name: Text = Field(description="the fact in words: End play of the cross in the fork")
    function: Text = Field(description="name of the function")
    inputs: dict[str, Text] = Field(min_length=1, description="parameter: fact id")
    unit: Text | None = Field(default=None, description="unit shown; numbers only")


class VerifyModel(Model):
    """The check that proves the cure."""

    minutes: Minutes = Field(description="minutes that the check takes")
    place: Text | None = Field(
        default=None, description="id of the place whose cautions are shown before the check"
    )
    steps: Texts = Field(min_length=1, description="the check, step by step")


class RingAxisModel(Model):
    """Which facts give the room for the rings of one axis: span and width, or the old stack."""

    span: Text | None = Field(
        default=None, description="number fact: distance of the groove walls in the fork"
    )
    width: Text | None = Field(
        default=None, description="number fact: width of the cross over its two caps"
    )
    old_ring_1: Text | None = Field(
        default=None, description="number fact: thickness of the first of the old rings"
    )
    old_ring_2: Text | None = Field(
        default=None, description="number fact: thickness of the old ring opposite"
    )
    old_end_play: Text | None = Field(
        default=None, description="number fact: end play with the old rings, by indicator"
    )
    old_width: Text | None = Field(
        default=None, description="number fact: width of the old cross, if the new one is another"
    )
    new_width: Text | None = Field(
        default=None, description="number fact: width of the new cross; together with old_width"
    )


class RingsModel(Model):
    """Retaining rings to choose from the shop's own stock."""

    axes: Annotated[tuple[RingAxisModel, ...], Strict(False)] = Field(
        max_length=2, description="the two axes of the joint, the first one at least"
    )
    material: Text | None = Field(
        default=None, description="choice fact: what the fork is made of, steel or aluminium"
    )
    limit: Amount = Field(description="greatest end play allowed, with unit: 0.05 mm")
    largest_offset: Amount = Field(
        description="how far the rings may set the cross off the middle, with unit: 0.01 mm"
    )
    style: Literal["outside", "inside"] = Field(
        default="outside", description="kind of ring: outside or inside the fork ears"
    )


class RemedyModel(Model):
    """What cures a cause."""

    minutes: Minutes = Field(description="minutes that the repair takes")
    steps: Texts = Field(min_length=1, description="the repair, step by step")
    cautions: Texts = Field(default=(), description="ids of cautions shown before the repair")
    shows: Texts = Field(
        default=(), description="ids of computed facts whose value belongs to the cure"
    )
    rings: RingsModel | None = Field(
        default=None, description="retaining rings to choose from the shop's own stock"
    )


class CauseModel(Model):
    """A fault that explains the complaint."""

    name: Text = Field(description="the fault in words")
    what: Text = Field(description="what happens and why")
    commonness: Commonness = Field(description="how common it is, relative to the other causes")
    applies_if: Condition | None = Field(
        default=None, description="condition without which the cause cannot exist on the vehicle"
    )
    confirm: Text | None = Field(default=None, description="id of the test that confirms it")
    remedy: RemedyModel = Field(description="what cures it")
    verify: VerifyModel = Field(description="the check that proves the cure")
    record: Texts = Field(default=(), description="what to write down for the next time")
    source: Text = Field(description='where it comes from, "judgement" or "common practice, ..."')


class RetiredModel(Model):
    """An id that is no longer used; what names it still is read as what took its place, if any."""

    replaced_by: Text | None = Field(
        default=None,
        description="id that stands in its place and means the same; left out where nothing does",
    )
    retired_in: Text = Field(description='version of the rulebook that retired it: "0.2.0"')
    reason: Text = Field(description="why it was retired, in a few words")
