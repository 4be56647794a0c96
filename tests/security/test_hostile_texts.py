"""Text from files and from the command line steers no terminal and runs on no page.

Every free text of a case, a stock, a shims file and a whole copy of the shipped rulebook carries
escape sequences, direction marks and a script; every verb is then run.
"""

from __future__ import annotations

import contextlib
import io
import json
import shutil
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from advisor.cli import main
from advisor.rulebook import read_yaml, shipped

ROOT: Final = Path(__file__).parents[2]
DEMO: Final = "cases/pickup-shake.yaml"
# Colour, window title, clipboard, an 8-bit control, a bell, a carriage return, direction marks,
# an unseen sign, line ends of other kinds, a tag and the end of an attribute.
HOSTILE: Final = (
    "\x1b[31m\x1b]0;title\x07\x1b]52;c;cGxhbnQ=\x07\x9b2J\r\u202e\u2066\u200f\u200b\u2028\x85"
    "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"
)
FREE: Final = frozenset(
    {
        *("title", "name", "text", "source", "ask", "customer", "why", "how", "what", "says"),
        *("reason", "vehicle", "complaint", "note", "steps", "record", "options"),
        *("work", "result", "words", "repair_order"),
    }
)
Run = Callable[..., tuple[str, str]]


def spoilt(data: Any, *, free: bool = False) -> Any:
    """The same data with the hostile text at the end of every free text."""
    if isinstance(data, dict):
        return {key: spoilt(value, free=free or key in FREE) for key, value in data.items()}
    if isinstance(data, list):
        return [spoilt(one, free=free) for one in data]
    return f"{data} {HOSTILE}" if free and isinstance(data, str) else data


def spoil(path: Path, target: Path) -> Path:
    """Write the file's data, spoilt, as JSON, which is YAML too: its escapes hide the controls."""
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(json.dumps(spoilt(read_yaml(path).data)), encoding="utf-8")
    return target


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a hostile rulebook, case, stock and shims file."""
    folder = tmp_path_factory.mktemp("hostile")
    few = [*shipped().glob("*.yaml"), shipped() / "examples" / "limits.yaml"]
    for path in few:
        spoil(path, folder / "book" / path.relative_to(shipped()))
    case = read_yaml(spoil(ROOT / DEMO, folder / "pickup-shake.yaml")).data
    shutil.copytree(folder / "book", folder / "changed")
    changed = folder / "changed" / "joint-fit.yaml"
    changed.write_text(changed.read_text(encoding="utf-8").replace('"3 in 10"', '"9 in 10"'))
    (folder / "cases").mkdir()
    shutil.copy(folder / "pickup-shake.yaml", folder / "cases")
    stock = read_yaml(ROOT / "cases/stock/rings.yaml").data
    stock["rings"] = {f"{box}{HOSTILE}": ring for box, ring in stock["rings"].items()}
    (folder / "rings.yaml").write_text(json.dumps(stock), encoding="utf-8")
    spoil(ROOT / "cases/shims/lifted-pickup.yaml", folder / "shims.yaml")
    broken = case | {"place": HOSTILE, "put_off": [HOSTILE], HOSTILE: HOSTILE}
    (folder / "broken.yaml").write_text(json.dumps(broken), encoding="utf-8")
    return folder


@pytest.fixture
def run(folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a verb in the hostile folder; standard output and error."""
    monkeypatch.chdir(folder)

    def go(*words: str, typed: str = "") -> tuple[str, str]:
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        with contextlib.suppress(SystemExit):
            main(words)
        return capsys.readouterr()

    return go


def steering(text: str) -> set[str]:
    """The characters of a text that could steer a terminal."""
    kinds = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    return {ascii(one) for one in text if unicodedata.category(one) in kinds and one != "\n"}


BOOK = ("--rulebook", "book")
VERBS = [
    ("rank", "pickup-shake.yaml", *BOOK),
    ("rank", "pickup-shake.yaml", *BOOK, "--stock", "rings.yaml"),
    ("rank", "pickup-shake.yaml", *BOOK, "--json"),
    ("rank", "broken.yaml", *BOOK),
    ("why", "pickup-shake.yaml", *BOOK),
    ("why", "pickup-shake.yaml", HOSTILE, *BOOK),
    ("rings", "pickup-shake.yaml", *BOOK, "--stock", "rings.yaml"),
    ("rings", "pickup-shake.yaml", *BOOK, "--stock", "rings.yaml", "--json"),
    ("close", "pickup-shake.yaml", *BOOK, "--cause", HOSTILE),
    ("statement", "pickup-shake.yaml", *BOOK),
    ("statement", "pickup-shake.yaml", *BOOK, "--json"),
    ("history", "pickup-shake.yaml", *BOOK),
    ("find", "cases", "shake"),
    ("similar", "pickup-shake.yaml"),
    ("reopen", "pickup-shake.yaml", "new-pickup.yaml", *BOOK, "--complaint", HOSTILE),
    ("check", *BOOK),
    ("check", *BOOK, "--json"),
    ("check", *BOOK, "--sarif"),
    ("check", "--rulebook", HOSTILE),
    ("compute", HOSTILE, *BOOK),
    ("compute", "joint-angle", f"a={HOSTILE}"),
    ("shims", "shims.yaml"),
    ("shims", "shims.yaml", "--json"),
    ("orders", f"measured={HOSTILE}"),
    ("trial-weights", f"initial={HOSTILE}"),
    ("new", "question", *BOOK, "--plain"),
    ("schema", HOSTILE),
    ("rank", f"{HOSTILE}.yaml"),
    ("rank", "pickup-shake.yaml", "--settings", HOSTILE),
    (HOSTILE,),
    ("rank", "pickup-shake.yaml", "--role", HOSTILE),
    ("rank", "pickup-shake.yaml", HOSTILE),
]


@pytest.mark.parametrize("words", VERBS, ids=lambda words: ascii(" ".join(words))[:40])
def test_nothing_that_steers_a_terminal_is_shown(words: tuple[str, ...], run: Run) -> None:
    out, err = run(*words)
    assert out + err
    assert steering(out + err) == set()


@pytest.mark.slow
def test_interview_shows_nothing_that_steers_a_terminal(run: Run, folder: Path) -> None:
    for name in ("pickup-shake.yaml", "new-van.yaml"):
        typed = f"{HOSTILE}\n{HOSTILE}\n" + "why\nhow\n?\nranking\nx 2\n" * 3 + "stop\n"
        out, err = run("ask", name, *BOOK, "--plain", typed=typed)
        assert steering(out + err) == set()
        assert "alert(1)" in out  # the words are there, and only words


@pytest.mark.parametrize("verb", ["rank", "why", "statement", "history"])
def test_hostile_words_are_shown_as_words(verb: str, run: Run) -> None:
    out, _ = run(verb, "pickup-shake.yaml", *BOOK)
    assert "<script>alert(1)</script>" in "".join(out.split())


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        ("prove", *BOOK, "--coverage"),
        ("compare", "book", "changed", "--cases", "cases"),
        ("replay", "cases", *BOOK),
        ("calibrate", "cases", *BOOK),
        ("practise", "practice.yaml", *BOOK, "--plain", "--seed", "7"),
        ("practise", "class", *BOOK, "--class", "1", "--seed", "7"),
    ],
    ids=" ".join,
)
def test_long_work_shows_nothing_that_steers_a_terminal(words: tuple[str, ...], run: Run) -> None:
    out, err = run(*words, typed="1\n2\nhelp\nstop\n")
    assert out + err
    assert steering(out + err) == set()


def test_page_holds_the_texts_as_text(run: Run) -> None:
    out, _ = run("page", "pickup-shake.yaml", *BOOK, "--output", "-")
    assert "alert(1)" in out
    assert "<script>alert" not in out
    assert "<img src=x" not in out
    assert steering(out) == set()
