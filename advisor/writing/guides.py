"""What each kind of record needs, asked one thing after another."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from advisor import units
from advisor.interview import Fault, Tone
from advisor.rulebook import id_fault, read_rate

from .conditions import ConditionBuilder
from .dialogue import Dialogue
from .fields import Fields
from .world import Record, World

_KINDS = {
    "yes-no": "yes or no",
    "choice": "one of several options",
    "choices": "any number of several options",
    "number": "a number with a unit",
    "text": "free words, which no rule can weigh",
}
_RATE_HELP = (
    'Write "8 in 10" or 0.8. Nothing is certain, so 0.001 to 0.999. Think of ten vehicles of your '
    "own workshop: in how many is it so?"
)
_SOURCE_HELP = 'A standard, a book with its page, your own cases; or "judgement"'


class Guide:
    """Asks for records and keeps them in the world, those first that others name."""

    def __init__(self, dialogue: Dialogue, world: World) -> None:
        self._dialogue = dialogue
        self._world = world
        self._fields = Fields(dialogue, world)

    def cause(self) -> str:
        """A cause and the finding that speaks for it; gives the id of the cause."""
        fields, rulebook = self._fields, self._world.rulebook
        self._head("The cause: a fault that explains the complaint")
        name = fields.text("The fault in a few words", "Such as: Mud on the tube")
        cause = fields.new_id("causes", "cause", name)
        record: Record = {"name": name}
        record["what"] = fields.text("What happens and why, in a sentence", "For the report")
        shares = sorted(one.commonness for one in rulebook.causes.values())
        record["commonness"] = fields.number(
            f"How common is it beside the others? They run from {shares[0]:g} to {shares[-1]:g}",
            "4 is twice as common as 2. It is the ranking before anything is known.",
            default=shares[len(shares) // 2],
        )
        confirm = fields.pick(
            "Which test confirms it? An id, or a word of it",
            "test",
            self._world.ids("tests"),
            help_text="The test that would show the fault itself, if there is one.",
            default="",
        )
        if confirm:
            record["confirm"] = confirm
        record["remedy"] = self._remedy()
        record["verify"] = self._verify()
        notes = fields.lines("What to write down for the next time", "Such as a size", least=0)
        if notes:
            record["record"] = notes
        record["source"] = fields.text("Where does this come from?", _SOURCE_HELP, "judgement")
        self._world.made["causes", cause] = record
        self.finding(cause)
        return cause

    def _remedy(self) -> Record:
        fields = self._fields
        self._head("The remedy")
        remedy: Record = {"minutes": fields.number("How many minutes does it take?", "About.")}
        remedy["steps"] = fields.lines("Step of the repair", "A sentence each; Enter ends.")
        cautions = fields.caution_ids("Cautions before the repair")
        return remedy | ({"cautions": cautions} if cautions else {})

    def _verify(self) -> Record:
        fields = self._fields
        self._head("The check that proves the cure")
        verify: Record = {"minutes": fields.number("How many minutes does it take?", "About.")}
        place = fields.pick(
            "Where is it done?",
            "place",
            self._world.ids("places"),
            help_text="The cautions of the place are shown before the check.",
        )
        verify["place"] = place
        verify["steps"] = fields.lines("Step of the check", "A sentence each; Enter ends.")
        return verify

    def finding(self, cause: str | None = None) -> str:
        """A finding that is true or false by a condition; gives its id.

        It speaks for `cause`, or for a cause that is asked for, and perhaps for others.
        """
        fields = self._fields
        self._head("The finding: what is so on such a vehicle, and how often")
        says = fields.text("What is so when it is true?", "Such as: Something sticks to the tube")
        name = fields.new_id("findings", "finding", says)
        builder = ConditionBuilder(fields, self.question)
        record: Record = {"says": says, "when": builder.build()}
        record["usual"] = fields.rate(
            "How often is it so on vehicles whose trouble is something else?", _RATE_HELP
        )
        usual = read_rate(record["usual"])
        record["with"] = self._rates(cause, usual)
        record["why"] = fields.text("Why does it tell the causes apart?", "One sentence.")
        record["source"] = fields.text("Where do the rates come from?", _SOURCE_HELP, "judgement")
        stop = fields.pick(
            "Must driving stop at once when it is so? Then the id of the caution to show",
            "caution",
            self._world.ids("cautions"),
            help_text="Only for what makes the vehicle unsafe to drive.",
            default="",
        )
        if stop:
            record["stop_driving"] = stop
        self._world.made["findings", name] = record
        return name

    def _rates(self, cause: str | None, usual: float) -> Record:
        rates: Record = {}
        while True:
            if cause is None:
                first = "Which cause does it speak for or against? An id, or a word of it"
                cause = self._fields.pick(
                    "Another cause that it speaks for or against?" if rates else first,
                    "cause",
                    self._world.ids("causes"),
                    help_text="Name a cause only where the rate clearly differs from the usual.",
                    default="" if rates else None,
                )
            if not cause:
                return rates
            text = f'How often is it so with "{cause}"?'
            rates[cause] = self._fields.rate(text, _RATE_HELP, unlike=usual)
            cause = None

    def question(self, *, with_place: bool = True) -> str:
        """A question, with a place of its own unless a test answers it; gives its id."""
        fields = self._fields
        self._head("The question")
        ask = fields.text("What does the technician read?", "Such as: Is the tube dented?")
        name = fields.new_id("questions", "question", ask)
        kind = fields.pick("What is an answer?", "kind of answer", _KINDS, default="yes-no")
        record: Record = {"ask": ask, "kind": kind}
        if kind in ("choice", "choices"):
            record["options"] = self._options()
        if kind == "number":
            record |= self._number()
        record["why"] = fields.text("Why is it asked?", "For a reader who doubts that it matters.")
        how = fields.text("How to find out or measure it", "Shown on request.", default="")
        if how:
            record["how"] = how
        if with_place:
            record |= self._placed()
        self._world.made["questions", name] = record
        return name

    def _placed(self) -> Record:
        fields = self._fields
        place = fields.pick("Where is it found out?", "place", self._world.ids("places"))
        record: Record = {"place": place}
        text = "How many minutes does it take there, without the way?"
        record["minutes"] = fields.number(text, "The way there is in the place.")
        cautions = fields.caution_ids("Further cautions", place)
        return record | ({"cautions": cautions} if cautions else {})

    def _options(self) -> dict[str, str]:
        def check(typed: str) -> Fault | None:
            option, colon, label = typed.partition(":")
            if not colon or not label.strip():
                return Fault(f'read "{typed}"; write id: label, such as loose: It can be moved')
            reason = id_fault("options", option.strip())
            if reason is None and option.strip() in found:
                reason = f'the option "{option.strip()}" stands there already'
            return None if reason is None else Fault(reason)

        found: dict[str, str] = {}
        while True:
            text = f"Option number {len(found) + 1}, as id: label"
            end = "" if len(found) >= 2 else None
            help_text = "At least two. Nobody knows needs no option."
            line = self._dialogue.ask(text, check, help_text=help_text, default=end)
            if not line:
                return found
            option, _, label = line.partition(":")
            found[option.strip()] = label.strip()

    def _number(self) -> Record:
        def check(typed: str) -> Fault | None:
            try:
                units.unit_named(typed)
            except units.UnitError as error:
                return Fault(str(error))
            return None

        rulebook, fields = self._world.rulebook, self._fields
        help_text = "Any unit of the same dimension may be typed later."
        name = self._dialogue.ask("In which unit, such as mm or deg?", check, help_text=help_text)
        dimension = units.unit_named(name).dimension
        able = {
            gauge: model.name
            for gauge, model in rulebook.gauges.items()
            if dimension in rulebook.gauge_reading[gauge].uncertainty
        }
        record: Record = {"unit": name}
        if able:
            help_text = "Its error is carried through all computing; without one it is exact."
            gauge = fields.pick(
                "Read with which gauge?", "gauge", able, help_text=help_text, default=""
            )
            record |= {"gauge": gauge} if gauge else {}
        record |= self._range(dimension)
        return record

    def _range(self, dimension: str) -> Record:
        help_text = "A reading outside it is asked back, since its unit may be wrong."
        while True:
            low = self._fields.amount("Smallest plausible reading", help_text, dimension, "")
            if not low:
                return {}
            high = self._fields.amount("Greatest plausible reading", help_text, dimension)
            if units.parse(low, dimension).si < units.parse(high, dimension).si:
                return {"range": [low, high]}
            self._dialogue.tell("the smallest must be below the greatest", Tone.PROBLEM)

    def test(self) -> str:
        """A test with the new questions that it answers; gives its id."""
        fields = self._fields
        self._head("The test: a piece of work in one place that answers one or more questions")
        name = fields.text("The work in a few words", "Such as: Look over and feel the tube")
        test = fields.new_id("tests", "test", name)
        record: Record = {"name": name}
        record |= self._placed()
        how = fields.text("How to do it", "Shown on request.", default="")
        answers = [self.question(with_place=False)]
        while fields.yes("Does it answer another question?", default=False):
            answers.append(self.question(with_place=False))
        record["answers"] = answers
        if how:
            record["how"] = how
        self._world.made["tests", test] = record
        return test

    def _head(self, text: str) -> None:
        self._dialogue.tell(text, Tone.HEADING)


GUIDES: dict[str, Callable[[Guide], Any]] = {
    "cause": Guide.cause,
    "finding": Guide.finding,
    "question": Guide.question,
    "test": Guide.test,
}
