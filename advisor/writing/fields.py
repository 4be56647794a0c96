"""Asks for one field of a record each, and checks what is typed at once."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping

from pydantic_core import PydanticCustomError

from advisor import units
from advisor.interview import Fault, Tone
from advisor.rulebook import better_spelling, did_you_mean, id_fault, read_rate

from .dialogue import Check, Dialogue
from .world import World, fitting

MOST_LISTED = 8
NONE = "none"
_LONGEST_ID = 40
_SMALL_WORDS = frozenset(
    [
        *("a", "an", "and", "any", "at", "by", "do", "does", "for", "from", "has", "have", "how"),
        *("in", "is", "it", "its", "of", "on", "or", "since", "so", "that", "the", "there", "to"),
        *("was", "what", "when", "with"),
    ]
)


class Fields:
    """The questions about fields; `world` tells which names there are."""

    def __init__(self, dialogue: Dialogue, world: World) -> None:
        self.dialogue = dialogue
        self.world = world

    def text(self, text: str, help_text: str, default: str | None = None) -> str:
        """Free words on one line."""
        return self.dialogue.ask(text, lambda _: None, help_text=help_text, default=default)

    def lines(self, text: str, help_text: str, *, least: int = 1) -> list[str]:
        """Several texts, one a line, until an empty line; at least so many."""
        found: list[str] = []
        while True:
            more = f"{text}, {'the first' if not found else f'number {len(found) + 1}'}"
            end = "" if len(found) >= least else None
            line = self.dialogue.ask(more, lambda _: None, help_text=help_text, default=end)
            if not line:
                return found
            found.append(line)

    def new_id(self, section: str, what: str, words: str) -> str:
        """A free id; the one offered is made of the words."""

        def check(typed: str) -> Fault | None:
            reason = id_fault(section, typed)
            if reason is None and self.world.is_taken(section, typed):
                reason = f'"{typed}" is taken, or was once; take another id'
            return None if reason is None else Fault(reason)

        tries = (slug(words) + end for end in ("", "-2", "-3"))
        name = self.dialogue.ask(
            f"Id of the {what}",
            check,
            help_text="Small letters, digits and hyphens. It never changes; let it say what it is.",
            default=next((one for one in tries if check(one) is None), None),
        )
        self.world.begun.add((section, name))
        return name

    def yes(self, text: str, help_text: str = "", *, default: bool) -> bool:
        """Yes or no."""

        def check(typed: str) -> Fault | None:
            is_word = typed.casefold() in ("yes", "y", "no", "n")
            return None if is_word else Fault(f'read "{typed}"; write yes or no')

        answer = self.dialogue.ask(
            text,
            check,
            help_text=help_text,
            default="yes" if default else "no",
            words=("yes", "no"),
        )
        return answer.casefold().startswith("y")

    def number(self, text: str, help_text: str, default: float | None = None) -> float:
        """A bare number above 0, or 0."""

        def check(typed: str) -> Fault | None:
            if re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,3})?", typed):
                return None
            hint = better_spelling("float_type", "minutes", typed)
            return Fault(f'read "{typed}"; a number without a unit is wanted' + _also(hint))

        shown = None if default is None else f"{default:g}"
        return float(self.dialogue.ask(text, check, help_text=help_text, default=shown))

    def rate(self, text: str, help_text: str, unlike: float | None = None) -> str | float:
        """A rate as it is written in a file; not the one that would tell nothing."""

        def check(typed: str) -> Fault | None:
            try:
                rate = read_rate(_number_or_text(typed))
            except PydanticCustomError:
                hint = better_spelling("rate_form", "usual", typed)
                form = 'write a rate such as "8 in 10" or 0.8, from 0.001 to 0.999'
                return Fault(f'read "{typed}"; {form}' + _also(hint))
            if unlike is not None and abs(rate - unlike) < 1e-9:
                return Fault("that is the usual rate, so it would tell nothing of this cause")
            return None

        return _number_or_text(self.dialogue.ask(text, check, help_text=help_text))

    def amount(self, text: str, help_text: str, dimension: str, default: str | None = None) -> str:
        """A number with a unit of this dimension."""
        check = amount_check(dimension)
        return self.dialogue.ask(text, check, help_text=help_text, default=default)

    def pick(  # noqa: PLR0913 - one call for one choice
        self,
        text: str,
        what: str,
        known: Mapping[str, str],
        *,
        help_text: str = "",
        default: str | None = None,
        also: Collection[str] = (),
    ) -> str:
        """One of the known ids, or one of the words in `also`; words of its text find it."""

        def check(typed: str) -> Fault | None:
            if typed in known or typed in also or (default == "" and typed == NONE):
                return None
            return Fault(not_known(typed, what, known))

        listed = known if len(known) <= MOST_LISTED else {}
        head = "\n".join([text, *(f"- {name}: {words}" for name, words in listed.items())])
        words = (*known, *also)
        answer = self.dialogue.ask(head, check, help_text=help_text, default=default, words=words)
        return "" if answer == NONE and NONE not in known else answer

    def picks(
        self, text: str, what: str, known: Mapping[str, str], help_text: str = ""
    ) -> list[str]:
        """Any number of the known ids, with commas between; none for an empty line."""

        def check(typed: str) -> Fault | None:
            wrong = next((one for one in parts(typed) if one not in known), None)
            return None if wrong is None else Fault(not_known(wrong, what, known))

        more = "\n".join(f"- {name}: {words}" for name, words in known.items())
        typed = self.dialogue.ask(
            text, check, help_text=f"{help_text}\n{more}".strip(), default="", words=tuple(known)
        )
        return parts(typed)

    def caution_ids(self, text: str, place: str | None = None) -> list[str]:
        """Cautions for a step; those that its place shows anyway are told."""
        rulebook = self.world.rulebook
        shown = rulebook.places[place].cautions if place else ()
        if shown:
            self.dialogue.tell("This place shows these cautions anyway:")
            for name in shown:
                self.dialogue.tell(f"- {name}: {rulebook.cautions[name].text}", Tone.CAUTION)
        known = {
            name: words for name, words in self.world.ids("cautions").items() if name not in shown
        }
        help_text = "Shown before the step, and no setting hides them:"
        return self.picks(
            f"{text}, ids with commas between; /help lists them", "caution", known, help_text
        )


def amount_check(dimension: str) -> Check:
    """The check of an amount of a dimension."""

    def check(typed: str) -> Fault | None:
        try:
            units.parse(typed, dimension)
        except units.UnitError as error:
            return Fault(str(error), error.position)
        return None

    return check


def not_known(typed: str, what: str, known: Mapping[str, str]) -> str:
    """That nothing has this id, with those that it may mean."""
    found = list(fitting(typed, known))
    if found:
        listed = "\n".join(f"- {name}: {known[name]}" for name in found[:MOST_LISTED])
        more = f"\n- and {len(found) - MOST_LISTED} more" if len(found) > MOST_LISTED else ""
        return f'no {what} has the id "{typed}"; these hold what was typed:\n{listed}{more}'
    hint = did_you_mean(typed, known) or "type a word of it to find it"
    return f'no {what} has the id "{typed}"; {hint}'


def slug(words: str) -> str:
    """An id made of the first words that say something."""
    found: list[str] = []
    for word in re.findall(r"[a-z0-9]+", words.casefold().replace("'s", "")):
        if word not in _SMALL_WORDS and len("-".join([*found, word])) <= _LONGEST_ID:
            found.append(word)
    return "-".join(found[:4])


def _number_or_text(typed: str) -> str | float:
    return float(typed) if re.fullmatch(r"[0-9]*\.?[0-9]+", typed) else typed


def parts(typed: str) -> list[str]:
    """What stands between the commas, each once."""
    return list(dict.fromkeys(part.strip() for part in typed.split(",") if part.strip()))


def _also(hint: str) -> str:
    return f"; {hint}" if hint else ""
