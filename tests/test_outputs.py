"""The JSON of the verbs: what is printed is as the schemas say, and no key goes within a format."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from advisor.arguments import parser
from advisor.cases import write_case
from advisor.cli import main
from advisor.completion.words import verbs_of
from advisor.schema.outputs import OUTPUTS, output_schema
from tests.cases.shop import write_shop
from tests.comparing.books import book as book_to_compare
from tests.comparing.test_comparison import RATE
from tests.computing.asking import STACK
from tests.computing.test_workshop_verbs import COMMANDS
from tests.helpers_rulebook import small_rulebook
from tests.learning.world import AUTHOR
from tests.learning.world import case as closed_case
from tests.library.making import made
from tests.proof.book import LOOSE, THIN, example_text, folder_of, write_examples

ROOT = Path(__file__).parents[1]
KEYS = ROOT / "tests" / "output_keys.txt"
CASES = sorted((ROOT / "cases").glob("*.yaml"))
Printed = Callable[..., Any]


def strict(node: Any, *, are_fields: bool = False) -> Any:
    """The schema with no other key allowed, so that a key that it does not name is found."""
    if isinstance(node, list):
        return [strict(one) for one in node]
    if not isinstance(node, dict):
        return node
    closed = {key: strict(value, are_fields=key == "properties") for key, value in node.items()}
    if "properties" in node and not are_fields:
        closed["additionalProperties"] = False
    return closed


VALIDATORS = {verb: Draft202012Validator(strict(output_schema(verb))) for verb in OUTPUTS}


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str]) -> Printed:
    """Runs a verb with --json; gives the data after holding it to the schema and its format."""

    def run(verb: str, *words: str | Path) -> Any:
        main([verb, *map(str, words), "--json"])
        data = json.loads(capsys.readouterr().out)
        faults = [
            f"{error.json_path}: {error.message}" for error in VALIDATORS[verb].iter_errors(data)
        ]
        assert faults == []
        assert data["format"] == 1
        return data

    return run


def test_every_verb_with_json_has_a_schema() -> None:
    able = {
        verb.name
        for verb in verbs_of(parser())
        if any("--json" in option.flags for option in verb.options)
    }
    assert able == set(OUTPUTS)


@pytest.mark.parametrize("verb", OUTPUTS)
def test_schema_is_a_right_schema_and_asks_for_every_key(verb: str) -> None:
    schema = output_schema(verb)
    Draft202012Validator.check_schema(schema)
    for record in schema["$defs"].values():
        assert record.get("required", []) == list(record.get("properties", {}))
        assert "additionalProperties" not in record or "properties" not in record


def keys_of(verb: str) -> Iterator[str]:
    """Each key of each record that a verb prints: "rank CauseView.probability"."""
    for name, record in output_schema(verb)["$defs"].items():
        yield from (f"{verb} {name}.{key}" for key in record.get("properties", {}))


def test_no_key_goes_or_is_renamed_within_a_format() -> None:
    """A key that goes raises the format; one that is new is added to the list."""
    now = sorted(line for verb in OUTPUTS for line in keys_of(verb))
    assert now == KEYS.read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("verb", COMMANDS)
def test_workshop_verbs(verb: str, printed: Printed) -> None:
    printed(*COMMANDS[verb])
    if verb != "shims":
        assert printed(verb)["name"] == verb


def test_orders_with_a_measured_frequency(printed: Printed) -> None:
    assert printed(*COMMANDS["orders"], "measured=42.4 Hz")["fits"]


def test_compute_in_each_of_its_forms(printed: Printed) -> None:
    assert len(printed("compute")["computations"]) > 50
    assert printed("compute", "ring-stack-end-play")["parameters"]
    assert printed("compute", "ring-stack-end-play", *STACK)["verdict"] is None
    limit = ["--limit", "0 mm to 0.05 mm"]
    assert printed("compute", "ring-stack-end-play", *STACK, *limit)["verdict"]
    assert printed("compute", "ring-stack-end-play", *STACK, "--limit", "published")["published"]
    sweep = ["--sweep", "joint_angle=1 deg..3 deg/2"]
    assert printed("compute", "trunnion-travel", *sweep)["sweep"]["points"]


def test_case_verbs(tmp_path: Path, printed: Printed) -> None:
    folder = small_rulebook(tmp_path)
    case = tmp_path / "pickup.yaml"
    case.write_text(
        "format: 1\nid: pickup\nrulebook: {id: small, version: 0.1.0}\n"
        "vehicle: A pickup\ncomplaint: It shakes\n"
        'answers: {last-work: joint-replaced, vibrates: "yes", yoke-span: 80.10 mm}\n',
        encoding="utf-8",
    )
    for verb in ("rank", "why", "history", "statement"):
        assert printed(verb, case, "--rulebook", folder)["case"] == "pickup"


def test_close_and_reopen(tmp_path: Path, printed: Printed) -> None:
    folder = small_rulebook(tmp_path)
    case = tmp_path / "pickup.yaml"
    case.write_text(
        "format: 1\nid: pickup\nrulebook: {id: small, version: 0.1.0}\n"
        "answers: {last-work: joint-replaced}\n",
        encoding="utf-8",
    )
    words = ["--cause", "rings-too-thin", "--work", "Two rings", "--gone"]
    closed = printed("close", case, *words, "--rulebook", folder)
    assert [one["id"] for one in closed["causes"]] == ["rings-too-thin"]
    assert closed["correction"]["complaint_gone"] is True
    new = tmp_path / "pickup-2.yaml"
    data = printed("reopen", case, new, "--ever-right", "no", "--rulebook", folder)
    assert (data["case"], data["earlier"], data["ever_right"]) == ("pickup-2", "pickup", "no")
    assert [one["cause"] for one in data["repaired_without_cure"]] == ["rings-too-thin"]


def test_check_with_and_without_problems(tmp_path: Path, printed: Printed) -> None:
    folder = small_rulebook(tmp_path)
    assert printed("check", "--rulebook", folder)["failed"] is False
    (folder / "more.yaml").write_text("questions: {a: {kind: number}}\n", encoding="utf-8")
    assert printed("check", "--rulebook", folder)["problems"]


def test_settings(tmp_path: Path, printed: Printed) -> None:
    folder = small_rulebook(tmp_path)
    assert printed("settings", "--rulebook", folder)["file"] is None
    path = tmp_path / "s.yaml"
    path.write_text("format: 1\nunits: {length: in}\n", encoding="utf-8")
    assert printed("settings", "--rulebook", folder, "--settings", path)["file"] == str(path)


def test_find_and_figures(tmp_path: Path, printed: Printed) -> None:
    write_shop(tmp_path)
    folder = tmp_path / "cases"
    folder.mkdir()
    write_case(folder / "open.yaml", made("open"))
    write_case(folder / "closed.yaml", made("closed", causes=["loose-joint"]))
    (folder / "bad.yaml").write_text("format: 1\nid: bad\n", encoding="utf-8")
    words = ["--library", folder, "--rulebook", tmp_path / "shop"]
    assert printed("find", *words)["count"] == 2
    assert printed("figures", *words)["unreadable"]
    assert printed("similar", folder / "open.yaml", *words)["closed"][0]["cures"]


def test_prove_with_all_that_it_can_tell(tmp_path: Path, printed: Printed) -> None:
    folder = folder_of(tmp_path)
    texts = (
        example_text(LOOSE, "first: flange-loose", "loose"),
        example_text(THIN, "first: flange-loose", "wrong"),
        example_text(THIN, "first: flange-loose", "gap", "    known_gap: alike\n"),
    )
    write_examples(folder, "examples:\n" + "".join(texts))
    words = ["--coverage", "--scores", "--mutate", "--sample", "2"]
    data = printed("prove", "--rulebook", folder, *words)
    assert all(data[key] for key in ("coverage", "scores", "mutation", "known_gaps"))


def test_compare(tmp_path: Path, printed: Printed) -> None:
    old, new = book_to_compare(tmp_path / "old"), book_to_compare(tmp_path / "new", RATE)
    folder = tmp_path / "cases"
    folder.mkdir()
    for name, answers in (("van", "bolts-loose: true"), ("other", "bolts-gone: true")):
        (folder / f"{name}.yaml").write_text(
            f"format: 1\nid: {name}\nrulebook: {{id: small, version: 0.1.0}}\n"
            f"answers: {{{answers}}}\n",
            encoding="utf-8",
        )
    data = printed("compare", old, new, "--cases", folder)
    assert data["moved"]
    assert data["not_compared"]


def test_replay_and_calibrate(tmp_path: Path, printed: Printed) -> None:
    AUTHOR.load(tmp_path / "book")
    folder = tmp_path / "cases"
    folder.mkdir()
    for number in range(25):
        answers = {"layout": "two-piece", "q-ticks": "yes" if number < 3 else "no"}
        write_case(folder / f"{number}.yaml", closed_case(answers, "worn"))
    (folder / "bad.yaml").write_text("format: 1\nid: bad\n", encoding="utf-8")
    replayed = printed("replay", folder, "--rulebook", tmp_path / "book")
    assert replayed["confusion"]
    assert replayed["problems"]
    assert printed("calibrate", folder, "--rulebook", tmp_path / "book")["rates"]


def test_practise(tmp_path: Path, printed: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    words = [str(tmp_path / "lesson.yaml"), "--rulebook", str(folder_of(tmp_path))]
    monkeypatch.setattr(sys, "stdin", io.StringIO("hand-on\nyes\n"))
    main(["practise", *words, "--seed", "7", "--plain"])
    monkeypatch.setattr(sys, "stdin", io.StringIO(""))
    capture = io.StringIO()
    monkeypatch.setattr(sys, "stdout", capture)
    main(["practise", *words, "--json"])
    assert list(VALIDATORS["practise"].iter_errors(json.loads(capture.getvalue()))) == []


@pytest.mark.slow
@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_demo_case(path: Path, printed: Printed) -> None:
    for verb in ("rank", "why", "history", "statement"):
        assert printed(verb, path)["case"] == path.stem


@pytest.mark.slow
def test_rings_of_a_demo_case(printed: Printed) -> None:
    stock = ROOT / "cases" / "stock" / "rings.yaml"
    assert printed("rings", ROOT / "cases" / "pickup-shake.yaml", "--stock", stock)["rings"]
