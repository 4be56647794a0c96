"""Every mistake in a case file has its place, its reason and its remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import open_case, read_case
from advisor.engine.values import UNKNOWN, Number
from advisor.rulebook import LoadError, Rulebook
from tests.cases.shop import CASE_HEAD


def write(folder: Path, text: str) -> Path:
    path = folder / "van.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def places(error: LoadError) -> list[tuple[int, int, str]]:
    return [(problem.line, problem.column, problem.code) for problem in error.problems]


def refused(folder: Path, rulebook: Rulebook, text: str) -> LoadError:
    with pytest.raises(LoadError) as caught:
        open_case(write(folder, text), rulebook)
    return caught.value


def test_answers_may_be_a_plain_mapping(tmp_path: Path, shop: Rulebook) -> None:
    text = CASE_HEAD + 'answers:\n  layout: two-piece\n  play: "0.3 mm"\n  history: dont-know\n'
    session = open_case(write(tmp_path, text), shop)
    assert session.diagnosis.value("layout") == "two-piece"
    play = session.diagnosis.value("play")
    assert isinstance(play, Number)
    assert play.value == pytest.approx(0.0003, rel=1e-12)
    assert session.diagnosis.value("history") is UNKNOWN
    assert session.diagnosis.is_answered("history")


def test_unquoted_amount_with_its_unit_is_text_and_read(tmp_path: Path, shop: Rulebook) -> None:
    session = open_case(write(tmp_path, CASE_HEAD + "answers: {play: 0.3 mm}\n"), shop)
    assert session.case.answers[0].answer == "0.3 mm"


def test_true_and_false_answer_a_yes_or_no_question(tmp_path: Path, shop: Rulebook) -> None:
    text = CASE_HEAD + "answers:\n  bolts-loose: true\n  support-torn: false\n"
    session = open_case(write(tmp_path, text), shop)
    assert session.diagnosis.value("bolts-loose") is True
    assert session.diagnosis.value("support-torn") is False
    assert session.case.answers[0].answer == "yes"


def test_true_is_no_answer_to_another_kind_of_question(tmp_path: Path, shop: Rulebook) -> None:
    error = refused(tmp_path, shop, CASE_HEAD + "answers:\n  history: true\n  layout: false\n")
    assert places(error) == [(7, 12, "wrong-type"), (8, 11, "wrong-type")]
    assert 'read true for "history"' in str(error)


def test_number_without_quotes_is_refused_with_what_to_write(
    tmp_path: Path, shop: Rulebook
) -> None:
    error = refused(tmp_path, shop, CASE_HEAD + "answers:\n  play: 0.3\n")
    assert places(error) == [(7, 9, "wrong-type")]
    assert 'put it into quotes with its unit, such as "0.3 mm"' in str(error)


def test_all_problems_come_in_one_go_with_the_nearest_names(tmp_path: Path, shop: Rulebook) -> None:
    text = CASE_HEAD + (
        "answers:\n"
        "  - {question: histroy, answer: new rings}\n"
        '  - {question: play, answer: "0.3 furlong"}\n'
        "  - {question: layout, answer: three-piece}\n"
        "put_off: [basic]\n"
        "place: bank\n"
        "outcome: {causes: [loose-joints]}\n"
    )
    error = refused(tmp_path, shop, text)
    assert places(error) == [
        (7, 16, "unknown-question"),
        (8, 30, "wrong-value"),
        (9, 32, "wrong-value"),
        (10, 11, "unknown-test"),
        (11, 8, "unknown-place"),
        (12, 20, "unknown-cause"),
    ]
    assert 'did you mean "history"?' in str(error)
    assert 'did you mean "basics"?' in str(error)


def test_unknown_question_in_a_mapping_is_shown_at_its_key(tmp_path: Path, shop: Rulebook) -> None:
    error = refused(tmp_path, shop, CASE_HEAD + "answers:\n  layuot: two-piece\n")
    assert places(error) == [(7, 3, "unknown-question")]


@pytest.mark.parametrize(
    ("extra", "line", "code"),
    [
        ("colour: red\n", 6, "unknown-field"),
        ("minutes_spent: -1\n", 6, "wrong-value"),
        ("minutes_spent: 1e308\n", 6, "wrong-value"),
        ("minutes_spent: many\n", 6, "wrong-type"),
        ("answers: none of them\n", 6, "wrong-type"),
        ("answers:\n  - {question: play}\n", 7, "wrong-value"),
        ("answers:\n  - {question: play, answer: 1 mm, taken_back: true}\n", 7, "wrong-value"),
        ("answers:\n  - {question: play, answr: 1 mm}\n", 7, "unknown-field"),
        ("answers:\n  - {answer: 1 mm}\n", 7, "missing-field"),
        ("answers:\n  - play\n", 7, "wrong-type"),
        ("answers:\n  - {question: play, answer: [1 mm]}\n", 7, "wrong-type"),
        ("answers:\n  - {question: play, answer: 1 mm, at: yesterday}\n", 7, "wrong-value"),
        (
            'answers:\n  - {question: play, answer: 1 mm, at: "2024-05-01T09:30:00+02:00"}\n',
            7,
            "wrong-value",
        ),
        ("answers: {play: no}\n", 6, "ambiguous-boolean"),
        ("answers: {play: 1:30}\n", 6, "ambiguous-number"),
        ("answers:\n  play: 1 mm\n  play: 2 mm\n", 8, "duplicate-key"),
        ("outcome: {note: nothing}\n", 6, "wrong-value"),
        ("outcome: {causes: [loose-joint], none_of_the_listed: true}\n", 6, "wrong-value"),
    ],
)
def test_mistake_in_the_form_has_its_line_and_code(
    tmp_path: Path, extra: str, line: int, code: str
) -> None:
    with pytest.raises(LoadError) as caught:
        read_case(write(tmp_path, CASE_HEAD + extra))
    assert (line, code) in {(problem.line, problem.code) for problem in caught.value.problems}


@pytest.mark.parametrize("case_id", ["../van", "Van", "van.yaml"])
def test_id_that_is_no_file_name_is_refused(tmp_path: Path, case_id: str) -> None:
    with pytest.raises(LoadError) as caught:
        read_case(write(tmp_path, CASE_HEAD.replace("id: van", f'id: "{case_id}"', 1)))
    assert places(caught.value) == [(2, 5, "wrong-id")]


def test_newer_format_is_refused_in_one_sentence(tmp_path: Path) -> None:
    text = CASE_HEAD.replace("format: 1", "format: 2") + "something_new: true\n"
    with pytest.raises(LoadError) as caught:
        read_case(write(tmp_path, text))
    assert places(caught.value) == [(1, 9, "unknown-format")]
    assert "format 2; this program understands format 1" in str(caught.value)
    assert "use a newer version of this program" in str(caught.value)


@pytest.mark.parametrize("text", ["- a\n", "only text\n"])
def test_file_that_is_no_mapping_is_refused(tmp_path: Path, text: str) -> None:
    with pytest.raises(LoadError) as caught:
        read_case(write(tmp_path, text))
    assert [problem.code for problem in caught.value.problems] == ["wrong-type"]


def test_missing_file_is_a_load_error(tmp_path: Path) -> None:
    with pytest.raises(LoadError):
        read_case(tmp_path / "nothing.yaml")


def test_another_rulebook_version_is_a_warning_only(tmp_path: Path, shop: Rulebook) -> None:
    text = CASE_HEAD.replace('"1.0.0"', '"0.9.0"') + "answers: {layout: one-piece}\n"
    session = open_case(write(tmp_path, text), shop)
    assert len(session.warnings) == 1
    assert "0.9.0" in session.warnings[0]
    assert "1.0.0" in session.warnings[0]


def test_same_rulebook_version_gives_no_warning(tmp_path: Path, shop: Rulebook) -> None:
    assert open_case(write(tmp_path, CASE_HEAD), shop).warnings == ()


CLOSED = CASE_HEAD + (
    "closing:\n"
    "  at: yesterday\n"
    "  after:\n"
    '    - {question: pley, answer: "0.03 mm"}\n'
    '    - {question: play, answer: "0.03 furlong"}\n'
    "  rings:\n"
    "    - {use: a1b2c3d4, stock: rings.yaml, box: tray-1, count: 2, thickness: 1.5 mm, at: now}\n"
)


def test_mistakes_of_a_closing_have_their_places(tmp_path: Path, shop: Rulebook) -> None:
    error = refused(tmp_path, shop, CLOSED)
    assert places(error) == [(7, 7, "wrong-value"), (12, 88, "wrong-value")]
    text = CLOSED.replace("  at: yesterday\n", "").replace(", at: now", "")
    error = refused(tmp_path, shop, text)
    assert places(error) == [(8, 18, "unknown-question"), (9, 32, "wrong-value")]


def test_case_written_before_closings_were_kept_is_read(tmp_path: Path, shop: Rulebook) -> None:
    text = CASE_HEAD + (
        "answers:\n"
        '  - {question: layout, answer: one-piece, at: "2024-05-01T09:30:00Z", by: technician}\n'
        "repairs:\n"
        '  - {cause: unbalance, at: "2024-05-01T10:30:00Z", by: technician}\n'
        "outcome: {causes: [loose-joint], note: new rings}\n"
    )
    case = open_case(write(tmp_path, text), shop).case
    assert (case.closing, case.comeback_of) == (None, None)
    assert case.outcome is not None
