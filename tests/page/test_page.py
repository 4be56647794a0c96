"""The page: whole, alone, harmless, and saying what the text says."""

from __future__ import annotations

import re
import sys
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest

from advisor.arguments import PAPERS
from advisor.cases import CaseLock, open_case
from advisor.cli import main
from advisor.page import PageError, page_of
from advisor.report import Assessment, assessment_text, choiceviews, sentences
from advisor.report.wording import decibans, minutes, percent
from tests.page.shop import (
    CASES,
    DEMOS,
    assessed,
    case_of,
    closed_page,
    demo,
    demo_page,
    driveline_rulebook,
)

VOID = {"meta", "br", "link", "img", "hr", "input"}
NASTY = (
    "<script>alert(1)</script><img src=x onerror=alert(2)>\u202egnp.exe\u2066 \u0007\u001b[2J"
    "&amp; {{ 7 * 7 }} \U0001f468\u200d\U0001f527 'single' \"double\""
)


class Reader(HTMLParser):
    """The elements of a page in order, what is open around each, and all words that show."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.headings: list[tuple[int, str]] = []
        self.words: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append((int(tag[1]), ""))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)
        if tag in ("td", "th"):
            self.words.append(" ")

    def handle_data(self, data: str) -> None:
        if "style" in self.open or "svg" in self.open:
            return
        self.words.append(data)
        if self.open and re.fullmatch("h[1-6]", self.open[-1]):
            level, text = self.headings[-1]
            self.headings[-1] = (level, text + data)

    def said(self) -> str:
        """All words on one line, blanks alike."""
        return " ".join("".join(self.words).split())


def told(text: str) -> str:
    """A text as a page shows it."""
    return " ".join(text.replace("+/-", "±").split())


@pytest.mark.parametrize("name", DEMOS)
def test_elements_are_closed_in_order_and_nothing_is_loaded_or_run(name: str) -> None:
    page = demo_page(name)
    read = Reader(page)
    assert read.wrong == []
    assert read.open == []
    tags = {tag for tag, _ in read.elements}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "form", "input", "a"}
    for _, attributes in read.elements:
        assert not [key for key in attributes if key.startswith("on") or key in ("src", "href")]
    assert not re.search(r"@import|url\((?!#)", page)
    found = re.findall(r"\bhttps?://[^\s\"<]*", page)
    assert set(found) <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


def test_policy_of_the_page_comes_first_and_lets_nothing_run_or_be_fetched() -> None:
    """Should a text ever get past the template, a browser still refuses what it would do."""
    read = Reader(demo_page("pickup-shake"))
    head = [(tag, attributes) for tag, attributes in read.elements if tag not in ("html", "head")]
    (_, charset), (_, policy) = head[:2]
    assert charset == {"charset": "utf-8"}
    assert policy["http-equiv"] == "Content-Security-Policy"
    assert dict(part.split(maxsplit=1) for part in (policy["content"] or "").split("; ")) == {
        "default-src": "'none'",
        "style-src": "'unsafe-inline'",
        "img-src": "data:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }


@pytest.mark.parametrize("name", DEMOS)
def test_headings_are_in_order_and_tables_and_sections_are_named(name: str) -> None:
    read = Reader(demo_page(name))
    levels = [level for level, _ in read.headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    for before, after in pairwise(levels):
        assert after <= before + 1
    tags = [tag for tag, _ in read.elements]
    assert tags.count("main") == tags.count("header") == tags.count("footer") == 1
    assert tags.count("caption") == tags.count("table")
    ids = [attributes["id"] for _, attributes in read.elements if "id" in attributes]
    assert len(ids) == len(set(ids))
    for tag, attributes in read.elements:
        if tag == "th":
            assert attributes["scope"] in ("col", "row")
        if tag == "section":
            assert attributes["aria-labelledby"] in ids
        if tag == "html":
            assert attributes["lang"] == "en"


def what_to_do(assessment: Assessment) -> list[str]:
    """What to do next, the choices, and the cure: on the page until the case is closed."""
    wanted: list[str] = []
    for choice in assessment.choices:
        wanted += [
            choice.step,
            minutes(choice.minutes),
            choiceviews.chance(choice),
            *choice.cautions,
        ]
    if assessment.next_test:
        wanted += [assessment.next_test.name, *assessment.next_test.cautions]
        wanted += [sentences.other_test(one) for one in assessment.other_tests]
    if assessment.cure:
        wanted += [*assessment.cure.cautions, *assessment.cure.steps, *assessment.cure.proof]
        wanted += [*assessment.cure.record, *(one.value for one in assessment.cure.computed)]
    return wanted


@pytest.mark.parametrize("name", DEMOS)
def test_page_says_what_the_text_says(name: str) -> None:
    assessment = demo(name)[1]
    said = Reader(demo_page(name)).said()
    text = assessment_text(assessment)
    wanted = [assessment.doubts.verdict[1:], *sentences.ranking_notes(assessment)]
    for line in sentences.ranked_lines(assessment):
        wanted += [percent(line.probability), line.cause.name if line.cause else "one of the list"]
        for side in (
            sentences.evidence_sides(line.cause) if line.cause and line.with_evidence else ()
        ):
            for one in side.lines:
                wanted += [f"{one.says}: {one.outcome}", decibans(one.decibans)]
    wanted += [line.strip(" -") for line in sentences.doubt_lines(assessment.doubts)]
    wanted += what_to_do(assessment)
    for fact in assessment.facts:
        wanted += [fact.name, *fact.value.split(" +/- ")]
    for stop in assessment.stop_driving:
        wanted += [stop.says, stop.caution]
    assert [one for one in wanted if told(one)[1:] not in said] == []
    assert [one for one in wanted if one not in text] == []


def test_stop_driving_comes_before_all_else_and_cautions_before_their_steps() -> None:
    assessment = demo("coupe-loose-flange")[1]
    said = Reader(demo_page("coupe-loose-flange")).said()
    for stop in assessment.stop_driving:
        assert said.index(stop.caution) < said.index("Verdict")
    cure = assessment.cure
    assert cure is not None
    section = said[said.index("The cure, if it is this") :]
    for caution in cure.cautions:
        assert section.index(caution) < section.index(cure.steps[0])
    for caution in cure.proof_cautions:
        assert section.index(caution) < section.rindex(cure.proof[0])


def test_long_story_does_not_push_stop_driving_down(tmp_path: Path) -> None:
    answers = {"safety-signs": "grows-in-seconds"}
    story = "It began " + "long ago " * 2000
    session = case_of(tmp_path / "case.yaml", answers, vehicle=story, complaint=story)
    said = Reader(page_of(session, assessed(session))).said()
    assert said.index("Stop driving") < 300
    assert said.count(story.strip()) == 3  # the vehicle; the complaint, quoted and as the concern


def test_closed_case_says_how_it_ended() -> None:
    closed = Reader(closed_page("pickup-shake")).said()
    ending = closed[closed.index("How it ended") : closed.index("Verdict")]
    assert "1.500 mm before, 1.540 mm after" in ending
    assert "The complaint is gone." in ending


@pytest.mark.parametrize("name", DEMOS)
def test_what_to_do_next_is_told_until_the_case_is_closed(name: str) -> None:
    opened, closed = Reader(demo_page(name)).said(), Reader(closed_page(name)).said()
    assert "What to do next" in opened
    assert "How it ended" not in opened
    assert "What to do next" not in closed
    assert "The choices side by side" not in closed
    assert "How it ended" in closed


def test_repair_without_a_cure_leaves_what_to_do_next_on_the_page(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    case_of(path, {"last-work": "joint-replaced"})
    with CaseLock(path) as lock:
        session = open_case(path, driveline_rulebook(), lock=lock)
        session.note_closing(complaint_gone=False, work="Wheels balanced")
        session.mend("wheel-unbalance")
        page = page_of(session, assessed(session))
    assert "What to do next" in Reader(page).said()


def test_empty_sections_are_left_out() -> None:
    headings = {text for _, text in Reader(demo_page("coupe-loose-flange")).headings}
    assert "Causes, most probable first" in headings
    assert not headings & {"Pictures", "Numbers", "Shims"}
    none = {text for _, text in Reader(demo_page("estate-drone-in-a-side-wind")).headings}
    assert not any(text.startswith("The cure") for text in none)
    assert "Stop driving" not in none


def test_shims_are_told_with_their_cautions_first() -> None:
    shims = CASES / "shims" / "lifted-pickup.yaml"
    said = Reader(demo_page("lifted-pickup-moan", shims=shims)).said()
    section = said[said.index("Shims") :]
    assert section.index("Chock the wheels") < section.index("wedge under the axle")
    assert "plate under the gearbox mount leave as it is" in section


@pytest.mark.parametrize("paper", PAPERS)
def test_paper_is_asked_for_by_its_name(paper: str) -> None:
    assert f"@page {{ size: {paper}; }}" in demo_page("coupe-loose-flange", paper)
    assert "size:" not in re.sub(r"[\w-]+-size:", "", demo_page("coupe-loose-flange"))


def test_same_case_gives_the_same_bytes() -> None:
    session, assessment = demo("pickup-shake")
    assert page_of(session, assessment) == page_of(session, assessment)


def test_text_from_people_is_shown_harmlessly(tmp_path: Path) -> None:
    answers = {"tyre-size": NASTY[:100], "last-work": "joint-replaced"}
    session = case_of(tmp_path / "case.yaml", answers, vehicle=NASTY, complaint=NASTY * 2)
    page = page_of(session, assessed(session))
    read = Reader(page)
    assert {"script", "img"} & {tag for tag, _ in read.elements} == set()
    assert "<script>alert(1)</script><img src=x onerror=alert(2)>gnp.exe [2J" in read.said()
    assert "&amp; {{ 7 * 7 }}" in read.said()
    assert not re.search("[\u202a-\u202e\u2066-\u2069\u0000-\u0008\u001b\u200d]", page)


def test_page_tells_no_folder_of_the_shop() -> None:
    from advisor.report import assess
    from advisor.stock import read_stock

    session = demo("pickup-shake")[0]
    stock = read_stock(CASES / "stock" / "rings.yaml", session.rulebook)
    page = page_of(session, assess(session.case, session.rulebook, session.diagnosis, stock=stock))
    assert "from the stock in rings.yaml" in Reader(page).said()
    assert str(CASES) not in page


@pytest.mark.parametrize("missing", [["jinja2"], ["matplotlib"], ["jinja2", "matplotlib"]])
def test_missing_library_is_told_in_one_plain_sentence(
    missing: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in missing:
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(PageError) as caught:
        page_of(*demo("coupe-loose-flange"))
    assert str(caught.value).startswith(f"the page is made with {' and '.join(missing)}, which ")
    assert str(caught.value).endswith("pip install '.[report]'")


# -- the command line --


def test_page_is_written_beside_its_case(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = tmp_path / "my-coupe.yaml"
    text = (CASES / "coupe-loose-flange.yaml").read_text(encoding="utf-8")
    case.write_text(text, encoding="utf-8")
    assert main(["page", str(case)]) == 0
    out, err = capsys.readouterr()
    assert out == ""
    assert err == f"{tmp_path / 'my-coupe.html'}: the page is written\n"
    page = (tmp_path / "my-coupe.html").read_text(encoding="utf-8")
    assert page == closed_page("coupe-loose-flange")
    assert case.read_text(encoding="utf-8") == text


def test_page_on_standard_output_is_the_same_page_in_ascii(
    capsys: pytest.CaptureFixture[str],
) -> None:
    import html

    assert main(["page", str(CASES / "pickup-shake.yaml"), "--output", "-"]) == 0
    out, err = capsys.readouterr()
    assert out.isascii()
    assert err == ""
    assert Reader(out).said() == Reader(closed_page("pickup-shake")).said()
    assert html.unescape(out) == html.unescape(closed_page("pickup-shake"))


def test_missing_library_is_no_fault_of_the_program(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "jinja2", None)
    assert main(["page", str(CASES / "coupe-loose-flange.yaml"), "--output", "-"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "which is not installed" in err


def test_case_is_never_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = tmp_path / "case.yaml"
    text = (CASES / "coupe-loose-flange.yaml").read_text(encoding="utf-8")
    case.write_text(text, encoding="utf-8")
    assert main(["page", str(case), "--output", str(case)]) == 2
    assert "is no page of this program" in capsys.readouterr().err
    assert case.read_text(encoding="utf-8") == text


def test_faulty_file_of_shims_is_told_by_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shims = tmp_path / "shims.yaml"
    shims.write_text("format: 1\nloads: {}\n", encoding="utf-8")
    case = str(CASES / "coupe-loose-flange.yaml")
    assert main(["page", case, "--output", "-", "--shims", str(shims)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "shims.yaml" in err
