"""The concern statement: what the answers tell of the complaint, in plain sentences, with gaps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from advisor.cases import CaseFile
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN, Number, Value
from advisor.report.display import Display
from advisor.rulebook import ConcernModel, Rulebook

ASPECTS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "what": "what it is",
        "where": "where it is felt or heard",
        "when": "when it comes",
        "speed": "how fast the vehicle goes then",
        "load": "under which load",
        "since": "since when",
        "work": "after which work",
    }
)
"""What a repair order should say of a complaint, in the order in which it is said."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing that an answer tells, as a whole sentence."""

    about: str
    question: str
    text: str


@dataclass(frozen=True, slots=True)
class Concern:
    """What is known of the complaint.

    `told` comes from the desk, `found` from a test of the vehicle. `not_known` are the aspects
    of which nobody knew, `not_asked` those that nobody was asked about.
    """

    told: tuple[Sentence, ...]
    found: tuple[Sentence, ...]
    not_known: tuple[str, ...]
    not_asked: tuple[str, ...]


def concern_of(case: CaseFile, rulebook: Rulebook, diagnosis: Diagnosis) -> Concern:
    """The concern of a case, from the questions that apply to it."""
    display = Display(rulebook, case.latest())
    place_of = {q: test.place for test in rulebook.rules.tests for q in test.questions}
    desk = next(iter(rulebook.places))
    told: list[Sentence] = []
    found: list[Sentence] = []
    known: set[str] = set()
    unknown: set[str] = set()
    asked = concern_questions(rulebook, diagnosis)
    for question, model in asked.items():
        if not diagnosis.is_answered(question):
            continue
        value = diagnosis.value(question)
        if value is UNKNOWN:
            unknown.add(model.about)
            continue
        known.add(model.about)
        texts = _texts(rulebook, display, question, model, value)
        at_desk = place_of[question] == desk
        (told if at_desk else found).extend(Sentence(model.about, question, t) for t in texts)
    gaps = [a for a in ASPECTS if a not in known and any(m.about == a for m in asked.values())]
    return Concern(
        _in_order(told),
        _in_order(found),
        tuple(ASPECTS[gap] for gap in gaps if gap in unknown),
        tuple(ASPECTS[gap] for gap in gaps if gap not in unknown),
    )


def concern_questions(rulebook: Rulebook, diagnosis: Diagnosis) -> dict[str, ConcernModel]:
    """The questions that apply now and tell of the complaint."""
    return {
        question: model.concern
        for question, model in rulebook.questions.items()
        if model.concern is not None and diagnosis.is_asked(question)
    }


def _in_order(sentences: list[Sentence]) -> tuple[Sentence, ...]:
    order = list(ASPECTS)
    return tuple(sorted(sentences, key=lambda one: order.index(one.about)))


def _texts(
    rulebook: Rulebook, display: Display, question: str, model: ConcernModel, value: Value
) -> Iterator[str]:
    """The sentences of one answer: options with a sentence of their own, then the others."""
    if isinstance(value, bool):
        if value or "no" in model.options:
            yield _sentence(model.says if value else model.options["no"], "")
        return
    labels = rulebook.labels(question)
    chosen = [value] if isinstance(value, str) else []
    if isinstance(value, frozenset):
        chosen = [option for option in labels if option in value]
    plain = [
        _lower(labels[option]) if option in labels else option  # a person's own words stay
        for option in chosen
        if option not in model.options
    ]
    if isinstance(value, Number):  # a repair order wants no uncertainty
        plain = [display.value(question, Number(value.value))]
    if plain:
        yield _sentence(model.says, listed(plain))
    yield from (_sentence(model.options[name], "") for name in chosen if name in model.options)


def _sentence(text: str, answer: str) -> str:
    whole = " ".join(text.replace("{answer}", answer).split())
    return f"{whole[:1].upper()}{whole[1:]}."


def _lower(label: str) -> str:
    """A label within a sentence; a word such as "ABS" keeps its capitals."""
    return label if label[1:2].isupper() else f"{label[:1].lower()}{label[1:]}"


def listed(parts: list[str]) -> str:
    """The parts as one would say them: "a", "a and b", "a, b and c"."""
    *most, last = parts
    return f"{', '.join(most)} and {last}" if most else last
