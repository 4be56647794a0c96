"""What the program shows of itself: its verbs by who uses them, and a guide for who begins."""

from __future__ import annotations

import argparse
import difflib
from typing import Any, Final, NoReturn

from .common import CleanParser

# who uses them: the verbs, in the order of use
GROUPS: Final = (
    ("at the desk and in the workshop, about one vehicle", ("ask", "rank", "why", "page", "rings")),
    ("its end, and what comes after", ("close", "statement", "history", "reopen")),
    ("one thing by itself, without a case", ("compute", "orders", "shims", "trial-weights")),
    ("all your cases", ("find", "similar", "figures", "export")),
    (
        "for the trainer, about rules and learners",
        ("new", "check", "prove", "compare", "replay", "calibrate", "practise"),
    ),
)
OTHERS: Final = "for all"

# who: what one types, and what for
_TASKS: Final = (
    (
        "Service advisor, with the customer at the desk:",
        (
            ("ask car.yaml --role service-advisor", "what to ask, and a plan for the road test"),
            ("statement car.yaml", "the words for the repair order"),
        ),
    ),
    (
        "Technician, with the vehicle:",
        (
            ("ask car.yaml", "the next test that pays, until the repair; goes on where it stopped"),
            ("rank car.yaml", "where the case stands now"),
            ("page car.yaml", "the same as a page with pictures, to show or print"),
            ("close car.yaml", "what it was, and the proof of the cure"),
            ("compute", "one thing by itself: end play, angles, orders, unbalance"),
        ),
    ),
    (
        "Trainer:",
        (
            ("practise lesson.yaml", "a practice vehicle with a hidden fault"),
            ("new --copy my-rules", "a rulebook of your own to write in"),
            ("prove --rulebook my-rules", "what its examples prove; check before that"),
        ),
    ),
)


def guide(width: int) -> str:
    """What to type for which task, for a window of so many columns."""
    lines = ["advisor finds why a driveline shakes, booms, clunks, squeaks or growls."]
    for who, tasks in _TASKS:
        lines += ["", who]
        longest = max(len(words) for words, _ in tasks)
        for words, meaning in tasks:
            line = f"  advisor {words:<{longest}}   {meaning}"
            narrow = [f"  advisor {words}", f"      {meaning}"]
            lines += [line] if len(line) <= width else narrow
    return "\n".join([*lines, "", "All verbs: advisor --help. One of them: advisor VERB --help."])


class GroupedHelp(argparse.HelpFormatter):
    """Lists the verbs by who uses them; those of no group come last."""

    def add_argument(self, action: argparse.Action) -> None:
        super().add_argument(action)
        if isinstance(action, argparse._SubParsersAction):  # they stand deeper than it reckons
            longest = max(len(sub.dest) for sub in action._get_subactions())
            deep = self._current_indent + self._indent_increment
            self._action_max_length = max(self._action_max_length, longest + deep)

    def _format_action(self, action: argparse.Action) -> str:
        if not isinstance(action, argparse._SubParsersAction):
            return super()._format_action(action)
        lines = {sub.dest: sub for sub in action._get_subactions()}
        grouped = {name for _, names in GROUPS for name in names}
        others = tuple(name for name in lines if name not in grouped)
        parts = []
        for title, names in (*GROUPS, (OTHERS, others)):
            parts.append(f"{' ' * self._current_indent}{title}:\n")
            self._indent()
            parts += [super(GroupedHelp, self)._format_action(lines[name]) for name in names]
            self._dedent()
        return "".join(parts)


class WholeParser(CleanParser):
    """The parser of the program; it names the verb that is nearest to a wrong one."""

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.dest != "verb" or not action.choices or value in action.choices:
            super()._check_value(action, value)
            return
        near = difflib.get_close_matches(str(value), _shown(action), n=3, cutoff=0.6)
        hint = f"did you mean {' or '.join(near)}?" if near else "see them all: advisor --help"
        self._refuse(f'"{value}" is no verb; {hint}')

    def _refuse(self, message: str) -> NoReturn:
        self.exit(2, f"{message}\n")


def _shown(action: argparse.Action) -> list[str]:
    """The verbs that the help shows."""
    assert isinstance(action, argparse._SubParsersAction)
    return [sub.dest for sub in action._get_subactions()]
