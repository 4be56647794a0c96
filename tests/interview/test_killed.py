"""A program killed at any moment loses no answer that it acknowledged, and no ring."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable
from itertools import islice
from pathlib import Path

import pytest

from advisor.cases import CaseLock, Closing, Result, RingUse, new_case, open_case, read_case
from advisor.interview import Port, run_closing, run_interview
from advisor.life import close_case, read_private, read_words, settle
from advisor.rulebook import Rulebook, load, read_yaml
from tests.interview.killing import moments, talk_in_child
from tests.life.book import write_book, write_stock

# For a long run by hand: ADVISOR_KILLS=1000 pytest -m slow tests/interview/test_killed.py
KILLS = int(os.environ.get("ADVISOR_KILLS", "60"))
SEED = 20240501
PASSING = {"", "back", "/back"}
# Going back and changing an answer makes the log longer.
SCRIPT = ["2", "no", *["back", "yes", "back", "no"] * 4, "clunk", "/back", "boom", "new rings", "?"]

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork"),
]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_book(tmp_path_factory.mktemp("rulebook")))


def render(_session: object) -> str:
    return ""


def in_the_file(line: str) -> str:
    """How the log writes a scripted line."""
    return {"2": "two-piece", "?": "dont-know"}.get(line, line)


def seconds_of(talk: Callable[[Port], object], script: list[str]) -> float:
    """How long the script takes when nobody kills it; every line of it is used."""
    ended = talk_in_child(talk, script)
    assert not ended.killed
    assert ended.acknowledged == script
    return ended.seconds


def test_no_acknowledged_answer_is_lost_by_a_kill(tmp_path: Path, shop: Rulebook) -> None:
    def talk_about(path: Path) -> Callable[[Port], object]:
        new_case(path, shop, complaint="It shudders")
        return lambda port: run_interview(shop, path, port=port, role="technician", render=render)

    seconds = min(seconds_of(talk_about(tmp_path / f"whole-{n}.yaml"), SCRIPT) for n in "123")
    killed = 0
    for number, moment in enumerate(islice(moments(SEED, seconds), KILLS)):
        path = tmp_path / f"case-{number}.yaml"
        ended = talk_in_child(talk_about(path), SCRIPT, moment)
        killed += ended.killed
        expected = [in_the_file(line) for line in ended.acknowledged if line not in PASSING]
        with CaseLock(path):  # that of the dead process is taken over, its leftovers removed
            log = [record.answer for record in open_case(path, shop).case.answers]
        assert log[: len(expected)] == expected
        assert len(log) <= len(expected) + 1  # one may be on disk and not yet acknowledged
        assert not list(tmp_path.glob(f".case-{number}.*"))
    assert killed > KILLS / 4


# vehicle, complaint, private data, then layout, noises, history, when it began, speed
INTAKE = ["A van", "It shudders", "A. Customer", "555 0100", "AB 12", "", "1", "boom", "new rings"]
INTAKE += ["yes", "60 mph"]


def test_no_word_of_an_intake_is_lost_by_a_kill(tmp_path: Path, book: Rulebook) -> None:
    def talk_about(path: Path) -> Callable[[Port], object]:
        return lambda port: run_interview(
            book, path, port=port, role="service-advisor", render=render, private=True, by="MK"
        )

    seconds = min(seconds_of(talk_about(tmp_path / f"whole-{n}.yaml"), INTAKE) for n in "123")
    killed = 0
    for number, moment in enumerate(islice(moments(SEED + 1, seconds), KILLS)):
        path = tmp_path / f"case-{number}.yaml"
        ended = talk_in_child(talk_about(path), INTAKE, moment)
        killed += ended.killed
        if not ended.acknowledged:
            continue
        with CaseLock(path):
            case = open_case(path, book).case
        private = read_private(path)
        kept = [case.vehicle, case.complaint, *(private.as_data().values() if private else ())]
        kept = [*filter(None, kept), *(record.answer for record in case.answers)]
        done = [{"1": "one-piece"}.get(line, line) for line in ended.acknowledged if line]
        assert kept[: len(done)] == done
        assert not list(tmp_path.glob(f".case-{number}.*"))
    assert killed > KILLS / 4


# gone, cause, work, rings of two boxes, no more, a part, no more, reading, proof twice, notes, time
CLOSING = ["yes", "1", "Rings", "tray-1 2", "tray-2 1", "tray-1 5", "", "a seal", "", "0.03 mm"]
CLOSING += ["quiet", "still quiet", "0.3, 0.03", "1.5 mm", "45"]
TOTALS = {"tray-1": 5, "tray-2": 1}
HELD = Counter({"tray-1": 12, "tray-2": 3, "box: 3": 1})


def test_rings_are_neither_counted_twice_nor_forgotten_by_a_kill(
    tmp_path: Path, book: Rulebook
) -> None:
    def talk_in(folder: Path) -> Callable[[Port], object]:
        folder.mkdir()
        path, stock = folder / "van.yaml", write_stock(folder)
        new_case(path, book, complaint="It shudders").answer("play", "0.3 mm")
        return lambda port: run_closing(book, path, port=port, role="technician", stock=stock)

    seconds = min(seconds_of(talk_in(tmp_path / f"whole-{n}"), CLOSING) for n in "123")
    killed = half_way = 0
    for number, moment in enumerate(islice(moments(SEED + 2, seconds), KILLS)):
        folder = tmp_path / f"case-{number}"
        ended = talk_in_child(talk_in(folder), CLOSING, moment)
        killed += ended.killed
        path, stock = folder / "van.yaml", folder / "rings.yaml"
        half_way += not all(use.booked for use in uses_of(path))
        assert gone_from(stock) == rings_in(path, noted_in(stock))
        with CaseLock(path) as lock:
            session = open_case(path, book, lock=lock)
            assert settle(session, stock) == ()
            assert gone_from(stock) == rings_in(path, {use.use for use in uses_of(path)})
            assert_kept(session.closing, ended.acknowledged)
            totals = read_words(rings=[f"{box}={count}" for box, count in TOTALS.items()])
            close_case(session, Result(causes=("loose-joint",)), totals, stock)
        assert gone_from(stock) == TOTALS
        assert not list(folder.glob(".*.new"))  # a lock of the dead is taken over when it matters
    assert killed > KILLS / 4
    assert half_way < killed


def uses_of(path: Path) -> tuple[RingUse, ...]:
    closing = read_case(path).closing
    return closing.rings if closing else ()


def noted_in(stock: Path) -> set[str]:
    """The ids that the stock notes; each of them once."""
    ids = [entry["use"] for entry in read_yaml(stock).data.get("taken", [])]
    assert len(ids) == len(set(ids))
    return set(ids)


def gone_from(stock: Path) -> Counter[str]:
    boxes = read_yaml(stock).data["rings"]
    return HELD - Counter({name: box["count"] for name, box in boxes.items()})


def rings_in(path: Path, ids: set[str]) -> Counter[str]:
    """The rings of these uses, by box; all of them stand in the case."""
    counts: Counter[str] = Counter()
    known = {use.use: use for use in uses_of(path)}
    for name in ids:
        counts[known[name].box] += known[name].count
    return counts


def assert_kept(closing: Closing, acknowledged: list[str]) -> None:
    """All replies after which the program went on are in the case."""
    boxes: Counter[str] = Counter()
    for use in closing.rings:
        boxes[use.box] += use.count
    said = {
        "yes": closing.complaint_gone,
        "Rings": closing.work,
        "tray-1 2": boxes["tray-1"] >= 2,
        "tray-2 1": boxes["tray-2"] == 1,
        "tray-1 5": boxes["tray-1"] == 5,
        "a seal": closing.parts,
        "0.03 mm": closing.after,
        "quiet": closing.proof,
        "still quiet": len(closing.proof) == 2,
        "0.3, 0.03": closing.noted,
        "1.5 mm": len(closing.noted) == 2,
        "45": closing.minutes == 45.0,
    }
    assert [line for line in acknowledged if line in said and not said[line]] == []
