"""The desk: what a repair order needs comes first, in five minutes, and goes to the technician."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from advisor.cases import CaseLock, InUseError, Result, new_case, open_case, read_case
from advisor.interview import run_interview
from advisor.life import read_private, reopen
from advisor.rulebook import Rulebook, load
from tests.interview.talk import CLOSING, Line, Refused, Talk, Talker, closing
from tests.life.book import write_book

# layout, noises, history, when it began; then the speed, which the repair order lacks
ANSWERS = ["1", "boom", "new rings", "?", "60 mph"]
LOAD = "Not asked: under which load."


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    return load(write_book(tmp_path_factory.mktemp("rulebook")))


@pytest.fixture
def van(tmp_path: Path, book: Rulebook) -> Path:
    path = tmp_path / "van.yaml"
    new_case(path, book, vehicle="A van", complaint="It shudders")
    return path


def at_the_desk(talk: Talker, book: Rulebook, path: Path, lines: Sequence[Line]) -> Talk:
    return talk(book, path, lines, "service-advisor")


def test_what_the_repair_order_lacks_is_asked_before_what_pays(
    talk: Talker, book: Rulebook, van: Path
) -> None:
    done = at_the_desk(talk, book, van, ANSWERS)
    asked = done.screen.questions()
    assert asked[4] == "At which speed is it worst?"
    assert done.case.latest()["speed"] == "60 mph"


def test_hand_over_has_concern_gaps_and_road_test_and_no_ranking(
    talk: Talker, book: Rulebook, van: Path
) -> None:
    done = at_the_desk(talk, book, van, [*ANSWERS, "", "no"])
    shown = done.screen.text
    assert "It makes a boom. It is worst at 60 mph. The last work: new rings." in shown
    assert "Not known: since when." in shown
    assert LOAD in shown
    assert shown.index("ROAD TEST") < shown.index("left for the technician:")
    assert CLOSING not in shown


def test_skipped_gap_is_not_asked_again_and_named(talk: Talker, book: Rulebook, van: Path) -> None:
    done = at_the_desk(talk, book, van, [*ANSWERS[:4], "skip", "", "no", ""])
    assert done.screen.questions().count("At which speed is it worst?") == 1
    assert "Not asked: how fast the vehicle goes then; under which load." in done.screen.text


def test_after_five_minutes_it_asks_whether_to_go_on(
    talk: Talker, book: Rulebook, van: Path
) -> None:
    text = van.read_text(encoding="utf-8") + "minutes_spent: 2.0\n"
    van.write_text(text, encoding="utf-8")
    handed = at_the_desk(talk, book, van, [*ANSWERS, ""])
    assert any("Enter: hand over to the technician" in p.text for p in handed.screen.asked)
    assert "bolts-loose" not in handed.case.latest()
    assert "CONCERN" in handed.screen.text
    more = at_the_desk(talk, book, van, [Refused("later"), "more", "", "no"])
    assert more.case.latest()["bolts-loose"] == "no"


def test_sign_of_danger_is_the_verdict_up_front(talk: Talker, book: Rulebook, van: Path) -> None:
    done = at_the_desk(talk, book, van, [*ANSWERS, "", "yes"])
    last = next(text for _, text in reversed(done.screen.told) if "CONCERN" in text)
    assert last.startswith("STOP DRIVING: Flange bolts are loose\n   Do not drive this vehicle.")
    assert "None: the vehicle must not be driven." in last


def test_technician_goes_on_where_the_desk_stopped(talk: Talker, book: Rulebook, van: Path) -> None:
    at_the_desk(talk, book, van, [*ANSWERS, "", "no"])
    done = talk(book, van, ["/stop"], "technician")
    assert LOAD in done.screen.text
    assert "ROAD TEST, for the technician" in done.screen.text
    assert {record.by for record in done.case.answers} == {"service-advisor"}
    again = talk(book, van, ["measure-play", "", "0.3 mm", "/stop"], "technician")
    assert again.case.answers[-1].by == "technician"
    assert "ROAD TEST" not in talk(book, van, ["/stop"], "technician").screen.text


def test_comeback_begins_with_what_was_done_before(talk: Talker, book: Rulebook, van: Path) -> None:
    session = open_case(van, book)
    session.answer("layout", "one-piece")
    session.close(Result(causes=("loose-joint",)))
    back = van.with_name("van-2.yaml")
    reopen(session, back, "no", "It shudders again")
    done = talk(book, back, ["none", "/stop"])
    assert "It comes back. Case van: Cross loose in its fork" in done.screen.text
    assert "Repaired without a cure: Cross loose in its fork." in done.screen.text
    assert done.screen.questions()[0] == "Which noises are heard?"
    assert "It comes back" not in talk(book, back, ["/stop"]).screen.text


def test_second_person_may_read_what_another_has_open(
    talk: Talker, book: Rulebook, van: Path
) -> None:
    before = van.read_bytes()
    with CaseLock(van):
        done = talk(book, van, [Refused("perhaps"), "yes"])
        assert "is open in another program" in done.screen.asked[0].text
        assert CLOSING in done.screen.text
        for reply in (["no"], ["/stop"], []):
            with pytest.raises(InUseError):
                talk(book, van, reply)
    assert van.read_bytes() == before


class Desk:
    """A port that gives its lines in turn, then ends."""

    columns = 80

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.asked: list[str] = []

    def ask(self, prompt: object) -> str:
        self.asked.append(getattr(prompt, "text", ""))
        if not self.lines:
            raise EOFError
        return self.lines.pop(0)

    def tell(self, text: str, tone: object = None) -> None:
        pass


def test_private_data_are_optional_kept_apart_and_asked_once(book: Rulebook, van: Path) -> None:
    def sit(lines: list[str]) -> list[str]:
        port = Desk(lines)
        run_interview(
            book, van, port=port, role="service-advisor", render=closing, private=True, by="MK"
        )
        return [text for text in port.asked if text.startswith("Private")]

    assert len(sit(["A. Customer", "", "AB 12", "/skip", "1", "/stop"])) == 4
    found = read_private(van)
    assert found is not None
    assert found.as_data() == {"customer": "A. Customer", "plate": "AB 12"}
    assert len(sit(["/stop"])) == 1
    assert "Customer" not in van.read_text(encoding="utf-8")
    assert read_case(van).answers[0].who == "MK"


@pytest.mark.parametrize(
    "words",
    [
        "<script>alert(1)</script>",
        "\x1b[2J\x07gone",
        "\u202eflipped",
        "\U0001f527 spanner",
        "y" * 1000,
    ],
    ids=["script", "control", "right-to-left", "emoji", "long"],
)
def test_any_words_of_a_customer_are_data(book: Rulebook, tmp_path: Path, words: str) -> None:
    path = tmp_path / "car.yaml"
    port = Desk([words, words, words, "", "", "", "1", "boom", words, "/stop"])
    run_interview(book, path, port=port, role="service-advisor", render=closing, private=True)
    case, private = read_case(path), read_private(path)
    assert private is not None
    kept = {case.vehicle, case.complaint, private.customer, case.latest()["history"]}
    assert len(kept) == 1
    assert str(kept.pop()).isprintable()


def test_a_hundred_thousand_characters_are_refused_and_asked_again(
    book: Rulebook, tmp_path: Path
) -> None:
    path = tmp_path / "car.yaml"
    flood = "x" * 100_000
    port = Desk([flood, "A car", flood, "Shakes", flood, "Name", "", "", "", "1", "boom", flood])
    run_interview(book, path, port=port, role="service-advisor", render=closing, private=True)
    assert (read_case(path).vehicle, read_case(path).complaint) == ("A car", "Shakes")
    assert path.stat().st_size < 2000
