"""An invented world: a small rulebook whose true rates are known, and vehicles drawn from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from advisor.cases import CaseFile, Record, Repair, Result, RulebookRef, case_text, replay
from advisor.learning.closed import ClosedCase, closed_case
from advisor.rulebook import Rulebook, load

CAUSES = ("worn", "loose", "bent")
SIGNS = ("ticks", "hums", "shakes", "smells")
NOISES = ("none", "clunk", "squeak")
NONE_SHARE = 0.1

Column = tuple[float, ...]


@dataclass(frozen=True)
class World:
    """Rates by finding and cause ("" for the usual one), and how common each cause is."""

    rates: Mapping[tuple[str, str], Column]
    commonness: Sequence[float]

    def text(self) -> str:
        """The rulebook of this world; `bent` can only exist where the shaft has two pieces."""
        signs = "".join(self._sign(name) for name in SIGNS)
        values = "".join(
            f"      {value}: {{usual: {self.rates['noise-heard', ''][k]!r}, "
            f"with: {{worn: {self.rates['noise-heard', 'worn'][k]!r}}}}}\n"
            for k, value in enumerate(NOISES)
        )
        causes = "".join(map(_cause, CAUSES, self.commonness))
        return HEAD + signs + NOISE + values + "    source: judgement\ncauses:\n" + causes

    def _sign(self, name: str) -> str:
        rates = ", ".join(
            f"{cause}: {column[0]!r}"
            for (finding, cause), column in self.rates.items()
            if finding == name and cause
        )
        return (
            f"  {name}:\n    says: It {name}\n    when: {{q-{name}: true}}\n"
            f"    usual: {self.rates[name, ''][0]!r}\n    with: {{{rates}}}\n"
            "    why: It tells them apart.\n    source: judgement\n"
        )

    def load(self, folder: Path) -> Rulebook:
        """Write the rulebook into the folder and load it."""
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "all.yaml").write_text(self.text(), encoding="utf-8")
        return load(folder)

    def vehicle(self, random: Random, known: float = 0.85) -> tuple[dict[str, str], str]:
        """The answers about one vehicle, known by chance alone, and its cause ("" for none)."""
        two = random.random() < 0.5
        could = CAUSES if two else CAUSES[:2]
        weights = self.commonness[: len(could)]
        is_listed = random.random() >= NONE_SHARE
        cause = random.choices(could, weights)[0] if is_listed else ""
        answers = {"layout": "two-piece" if two else "one-piece"}
        for name in (*SIGNS, "noise-heard"):
            column = self.rates.get((name, cause), self.rates[name, ""])
            outcome = random.choices(range(len(column)), column)[0]
            if random.random() < known:
                answer = NOISES[outcome] if name == "noise-heard" else ("yes", "no")[outcome]
                answers["noise" if name == "noise-heard" else f"q-{name}"] = answer
        return answers, cause


def _column(rate: float) -> Column:
    return (rate, 1.0 - rate)


AUTHOR = World(
    {
        **{(name, ""): _column(0.2) for name in SIGNS},
        ("ticks", "worn"): _column(0.8),
        ("hums", "loose"): _column(0.7),
        ("shakes", "bent"): _column(0.9),
        ("shakes", "loose"): _column(0.5),
        ("smells", "worn"): _column(0.4),
        ("noise-heard", ""): (0.6, 0.3, 0.1),
        ("noise-heard", "worn"): (0.2, 0.3, 0.5),
    },
    (3.0, 2.0, 1.0),
)


def drawn_world(random: Random, strength: float) -> World:
    """A world whose rates the author of AUTHOR believes in as firmly as so many cases."""

    def drawn(column: Column) -> Column:
        heaps = [random.gammavariate(strength * rate, 1.0) for rate in column]
        rates = [min(0.99, max(0.01, heap / sum(heaps))) for heap in heaps]
        return (*rates[:-1], 1.0 - sum(rates[:-1]))

    return replace(AUTHOR, rates={key: drawn(column) for key, column in AUTHOR.rates.items()})


def case(
    answers: Mapping[str, str],
    *causes: str,
    name: str = "van",
    repairs: Iterable[str] = (),
    minutes: float = 0.0,
) -> CaseFile:
    """A closed case; without a cause it was none of the listed."""
    return CaseFile(
        format=1,
        id=name,
        rulebook=RulebookRef(id="world", version="1.0.0"),
        answers=tuple(Record(question=key, answer=text) for key, text in answers.items()),
        repairs=tuple(Repair(cause=cause) for cause in repairs),
        minutes_spent=minutes,
        outcome=Result(causes=causes, none_of_the_listed=not causes),
    )


def closed(rulebook: Rulebook, one: CaseFile) -> ClosedCase:
    """The closed case with its diagnosis."""
    found = closed_case(one, replay(one, rulebook))
    assert found is not None
    return found


def write_cases(folder: Path, world: World, count: int, seed: int) -> Path:
    """Write closed cases of this world into the folder."""
    random = Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(count):
        answers, cause = world.vehicle(random)
        name = f"case-{number:04}"
        minutes = round(random.uniform(0.0, 90.0), 1)
        one = case(answers, *([cause] if cause else []), name=name, minutes=minutes)
        (folder / f"{name}.yaml").write_text(case_text(one), encoding="utf-8")
    return folder


def _cause(name: str, commonness: float) -> str:
    applies = "    applies_if: {layout: two-piece}\n" if name == "bent" else ""
    return (
        f"  {name}:\n    name: It is {name}\n    what: It moves.\n    commonness: {commonness}\n"
        f"{applies}    remedy: {{minutes: 20, steps: [Mend it.]}}\n"
        "    verify: {minutes: 5, steps: [Look again.]}\n    source: judgement\n"
    )


HEAD = f"""\
rulebook:
  format: 1
  id: world
  version: 1.0.0
  title: A world for tests
  none_of_the_listed: {NONE_SHARE}
  pair_factor: 0.1
  escalation_minutes: 240
  opening: [layout]
places:
  desk: {{name: At the desk, minutes: 0}}
questions:
  layout:
    ask: How many pieces has the shaft?
    kind: choice
    options: {{one-piece: One piece, two-piece: Two pieces}}
    why: Some causes need two.
    place: desk
    minutes: 1
  noise:
    ask: Which noise is heard?
    kind: choice
    options: {{none: None, clunk: A clunk, squeak: A squeak}}
    why: Each cause has its own.
    place: desk
    minutes: 1
""" + "".join(
    f"  q-{name}:\n    ask: Is it so that it {name}?\n    kind: yes-no\n    why: It tells.\n"
    "    place: desk\n    minutes: 2\n"
    for name in SIGNS
)
HEAD += "findings:\n"
NOISE = """\
  noise-heard:
    says: Which noise it makes
    choice: noise
    values:
"""
