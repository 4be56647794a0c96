"""The command line: what goes to standard output, what to standard error, and the exit status."""

from __future__ import annotations

import io
import json
import os
import re
import shlex
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

import advisor
from advisor.arguments import ROLES
from advisor.cases import CaseLock, read_case
from advisor.cli import main
from advisor.interview import ROLES as INTERVIEW_ROLES
from advisor.layout import cells
from advisor.verbs.output import DONE, FOUND, INTERRUPTED, PLAIN_WIDTH, WRONG
from tests.helpers_rulebook import CAUSES, FINDINGS, small_rulebook

CASE = """\
format: 1
id: pickup
rulebook: {id: small, version: "0.1.0"}
vehicle: A pickup
complaint: It shakes
answers: {last-work: joint-replaced, vibrates: "yes", yoke-span: 80.10 mm}
"""
DEMO = Path(__file__).parents[1] / "cases" / "pickup-shake.yaml"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture(autouse=True)
def no_settings_of_this_computer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ADVISOR_SETTINGS", raising=False)
    for name in ("XDG_CONFIG_HOME", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "no-settings"))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return small_rulebook(tmp_path)


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "pickup.yaml"
    path.write_text(CASE, encoding="utf-8")
    return path


@pytest.fixture
def run(book: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a verb with the small rulebook and typed lines; status, standard output, error."""

    def go(*words: str | Path, typed: Sequence[str] | None = None) -> tuple[int, str, str]:
        lines = "".join(f"{line}\n" for line in typed or ())
        monkeypatch.setattr("sys.stdin", io.StringIO(lines))
        status = main([*map(str, words), "--rulebook", str(book)])
        return (status, *capsys.readouterr())

    return go


def refused(words: Sequence[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Standard error of a wrong use, which must have status 2 and no result."""
    with pytest.raises(SystemExit) as stopped:
        main(words)
    assert stopped.value.code == WRONG
    out, err = capsys.readouterr()
    assert out == ""
    return str(err)


# -- wrong use --


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["rank"], "required: case"),
        (["rank", "a.yaml", "--colour"], "unrecognized arguments: --colour"),
        (["ask", "a.yaml", "--role", "owner"], "invalid choice: 'owner'"),
        (["close", "a.yaml", "--cause"], "expected one argument"),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, list) else "",
)
def test_wrong_use_has_status_2_and_says_how_to_use_it(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    err = refused(words, capsys)
    assert err.startswith("usage: ")
    assert said in err


def test_version_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["--version"])
    assert stopped.value.code == 0
    assert capsys.readouterr().out == f"advisor {advisor.__version__}\n"


def test_roles_of_the_command_line_are_those_of_the_interview() -> None:
    assert set(ROLES) == set(INTERVIEW_ROLES)


# -- files that can't be read --


def test_missing_case_is_named_with_status_2(run: Run, tmp_path: Path) -> None:
    status, out, err = run("rank", tmp_path / "nowhere.yaml")
    assert (status, out) == (WRONG, "")
    assert err.startswith(f"{tmp_path}/nowhere.yaml:1:1: error[unreadable-file]: ")
    assert "there is no such file" in err


@pytest.mark.parametrize("verb", ["rank", "why", "ask"])
def test_folder_as_case_is_refused(verb: str, run: Run, tmp_path: Path) -> None:
    status, out, err = run(verb, tmp_path)
    assert (status, out) == (WRONG, "")
    assert "it is a folder, not a file" in err


HOSTILE = {
    "not-yaml": "format: [1\nid: x",
    "ten-megabytes": "x: " + "a" * 10_000_000,
    "alias-bomb": "a: &a [x, x]\nb: &b [*a, *a]\n"
    + "".join(f"c{n}: &c{n} [*b, *b, *b]\n" for n in range(40)),
    "too-deep": "a: " + "[" * 50_000,
    "a-list": "[1, 2]",
    "empty": "",
    "newer-format": "format: 99\nid: x\n",
    "python-tag": "a: !!python/object/apply:os.system [echo]\n",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_case_that_cannot_be_understood_is_refused_at_its_place(
    text: str, run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "hostile.yaml"
    path.write_text(text, encoding="utf-8")
    status, out, err = run("rank", path)
    assert (status, out) == (WRONG, "")
    assert re.match(rf"{re.escape(str(path))}:\d+:\d+: error\[[a-z-]+\]: \S", err)
    assert "Traceback" not in err
    assert path.read_text(encoding="utf-8") == text


def test_bytes_that_are_no_text_are_refused(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "photo.yaml"
    path.write_bytes(bytes(range(256)))
    status, _, err = run("rank", path)
    assert status == WRONG
    assert "error[" in err


def test_every_mistake_of_a_case_is_told_in_one_go(run: Run, case: Path) -> None:
    wrong = CASE.replace("vibrates:", "vibrate:").replace("80.10 mm", '"80.10 kg"')
    case.write_text(wrong, encoding="utf-8")
    status, _, err = run("rank", case)
    assert status == WRONG
    assert 'no question has the id "vibrate"' in err
    assert 'did you mean "vibrates"?' in err
    assert '"80.10 kg" is no answer to "yoke-span"' in err


def test_missing_rulebook_is_named_with_status_2(
    case: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rank", str(case), "--rulebook", str(tmp_path / "none")]) == WRONG
    assert "there is no such folder" in capsys.readouterr().err


def test_control_characters_of_a_file_or_of_the_command_line_do_not_reach_the_window(
    run: Run, case: Path
) -> None:
    case.write_text(CASE.replace('vibrates: "yes"', r'vibrates: "\e[2J\u202Eno\x9b1m"'), "utf-8")
    for words in (["rank", case], ["close", case, "--cause", "\x1b[2Jrings"]):
        status, out, err = run(*words)
        assert (status, out) == (WRONG, "")
        assert not set(err) & {"\x1b", "\u202e", "\x9b"}
        assert "[2J" in err


def test_control_characters_of_a_case_do_not_reach_the_window(run: Run, case: Path) -> None:
    hostile = r'note: "\e[2J\u202E\x9b1m gone", vibrates: "yes"'
    text = CASE.replace('vibrates: "yes"', hostile).replace("A pickup", r'"\e[2J\x9b1m pickup"')
    case.write_text(text, encoding="utf-8")
    for verb in ("rank", "ask"):
        status, out, err = run(verb, case, typed=["ranking"])
        assert (status, err) == (DONE, "")
        assert not set(out) & {"\x1b", "\u202e", "\x9b"}
    assert "Anything else to note? [2J1m gone" in run("rank", case)[1]


# -- rank --


def test_rank_prints_the_assessment_and_nothing_else(run: Run, case: Path) -> None:
    status, out, err = run("rank", case)
    assert (status, err) == (DONE, "")
    assert out.startswith("case pickup: rulebook small 0.1.0, 0 min spent so far\n")
    for heading in ("CAUSES, most probable first", "HOW SURE", "WHAT TO DO NEXT", "KNOWN SO FAR"):
        assert f"\n{heading}\n" in out


def test_rank_leaves_the_case_as_it_was(run: Run, case: Path, tmp_path: Path) -> None:
    before = sorted(tmp_path.iterdir())
    run("rank", case)
    run("why", case)
    assert case.read_text(encoding="utf-8") == CASE
    assert sorted(tmp_path.iterdir()) == before


def test_rank_of_a_case_that_another_program_has_open_is_allowed(run: Run, case: Path) -> None:
    with CaseLock(case):
        assert run("rank", case)[0] == DONE


def test_rank_as_json_says_the_same_as_the_text(run: Run, case: Path) -> None:
    status, out, err = run("rank", case, "--json")
    data = json.loads(out)
    assert (status, err) == (DONE, "")
    assert data["case"] == "pickup"
    text = run("rank", case)[1]
    places = [text.index(f". {cause['name']}"[1:]) for cause in data["causes"]]
    assert places == sorted(places)


def test_json_is_ascii_and_loses_nothing(run: Run, case: Path) -> None:
    case.write_text(CASE.replace("A pickup", r'"Käfer \u202E \x9b2J 车"'), encoding="utf-8")
    out = run("rank", case, "--json")[1]
    assert out.isascii()
    assert json.loads(out)["vehicle"] == "Käfer \u202e \x9b2J 车"


def test_other_version_of_the_rulebook_is_a_warning_on_standard_error(run: Run, case: Path) -> None:
    case.write_text(CASE.replace("0.1.0", "0.0.9"), encoding="utf-8")
    status, out, err = run("rank", case)
    assert status == DONE
    assert err.startswith('warning: the case was answered with rulebook "small" 0.0.9')
    assert "warning" not in out


def places_of_tests(case: Path, role: str, capsys: pytest.CaptureFixture[str]) -> set[str]:
    assert main(["rank", str(case), "--json", "--role", role]) == DONE
    data = json.loads(capsys.readouterr().out)
    return {test["place"] for test in [data["next_test"], *data["other_tests"]] if test}


def test_tests_are_where_the_role_can_go(capsys: pytest.CaptureFixture[str]) -> None:
    cases = [DEMO.parent / "estate-boom-too-close-to-call.yaml"]
    at_the_desk = [places_of_tests(case, "service-advisor", capsys) for case in cases]
    everywhere = [places_of_tests(case, "technician", capsys) for case in cases]
    assert set[str]().union(*at_the_desk) == {"At the desk"}
    assert set[str]().union(*everywhere) > {"At the desk"}


def test_lines_are_no_wider_than_the_plain_width(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rank", str(DEMO)]) == DONE
    assert max(map(cells, capsys.readouterr().out.split("\n"))) <= PLAIN_WIDTH


@pytest.mark.parametrize("verb", ["rank", "why"])
def test_lines_are_no_wider_than_a_narrow_window(
    verb: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("advisor.verbs.output.width", lambda: 40)
    assert main([verb, str(DEMO)]) == DONE
    assert max(map(cells, capsys.readouterr().out.split("\n"))) <= 40


# -- why --


def test_why_shows_the_leading_cause_by_default(run: Run, case: Path) -> None:
    status, out, err = run("why", case)
    assert (status, err) == (DONE, "")
    assert out.startswith("WHY Retaining rings too thin, so that the cross can shift\n")
    assert "What was the last work on the driveline? A joint was replaced (answered)" in out


def test_why_shows_any_other_cause(run: Run, case: Path) -> None:
    assert run("why", case, "wheel-unbalance")[1].startswith("WHY A wheel out of balance\n")


def test_unknown_cause_is_refused_with_the_nearest_name(run: Run, case: Path) -> None:
    status, out, err = run("why", case, "rings-to-thin")
    assert (status, out) == (WRONG, "")
    said = '"rings-to-thin" is no cause of this rulebook; did you mean "rings-too-thin"?\n'
    assert err == said


def test_unknown_cause_near_none_is_refused_in_a_whole_sentence(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["why", str(DEMO), "xyzzy"]) == WRONG
    assert capsys.readouterr().err == '"xyzzy" is no cause of this rulebook\n'


# -- close --


def test_close_records_the_cause_and_says_so_on_standard_error(run: Run, case: Path) -> None:
    status, out, err = run("close", case, "--cause", "rings-too-thin", "--note", "0.11 mm: thin")
    assert (status, out) == (DONE, "")
    assert err == f"{case}: the outcome is recorded\n"
    outcome = read_case(case).outcome
    assert outcome is not None
    assert (outcome.causes, outcome.note) == (("rings-too-thin",), "0.11 mm: thin")
    assert list(read_case(case).latest()) == ["last-work", "vibrates", "yoke-span"]


def test_close_records_that_it_was_something_else(run: Run, case: Path) -> None:
    assert run("close", case, "--none-of-the-listed")[0] == DONE
    outcome = read_case(case).outcome
    assert outcome is not None
    assert (outcome.causes, outcome.none_of_the_listed) == ((), True)


@pytest.mark.parametrize(
    "words",
    [["--cause", "rings-too-thin", "--none-of-the-listed"], ["--note", "done"]],
    ids=["both", "only a note"],
)
def test_close_wants_either_causes_or_none_of_them(words: list[str], run: Run, case: Path) -> None:
    status, out, err = run("close", case, *words)
    assert (status, out) == (WRONG, "")
    assert "either --cause ID" in err
    assert case.read_text(encoding="utf-8") == CASE


def test_close_refuses_an_unknown_cause_and_changes_nothing(run: Run, case: Path) -> None:
    status, _, err = run("close", case, "--cause", "rings-too-thin", "--cause", "ring-too-thin")
    assert status == WRONG
    assert 'did you mean "rings-too-thin"?' in err
    assert case.read_text(encoding="utf-8") == CASE


def test_close_of_a_missing_case_leaves_nothing_behind(run: Run, tmp_path: Path) -> None:
    before = sorted(tmp_path.iterdir())
    assert run("close", tmp_path / "none.yaml", "--none-of-the-listed")[0] == WRONG
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize(
    "words", [["ask"], ["close", "--none-of-the-listed"]], ids=["ask", "close"]
)
def test_case_locked_by_another_program_is_refused_and_untouched(
    words: list[str], run: Run, case: Path
) -> None:
    with CaseLock(case):
        status, _, err = run(*words, case)
    assert status == WRONG
    assert f"{case} is open in another program (process {os.getpid()} on " in err
    assert case.read_text(encoding="utf-8") == CASE


# -- check --


def test_check_of_a_good_rulebook_prints_no_result(run: Run, book: Path) -> None:
    status, out, err = run("check")
    assert (status, out) == (DONE, "")
    assert err.startswith(f"{book}: 8 questions, ")
    assert err.endswith(": no problems\n")


def test_check_of_the_shipped_rulebook_finds_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check"]) == DONE
    assert capsys.readouterr().out == ""


def test_check_prints_problems_as_its_result_with_status_1(run: Run, tmp_path: Path) -> None:
    small_rulebook(tmp_path, findings=FINDINGS.replace("felt-in:", "felt-inn:"))
    status, out, err = run("check")
    assert status == FOUND
    assert re.search(r"findings\.yaml:\d+:\d+: error\[unknown-fact\]: ", out)
    assert 'did you mean "felt-in"?' in out
    assert err.endswith(": 1 problem\n")


def test_check_of_a_missing_rulebook_is_bad_input_and_no_finding(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--rulebook", str(tmp_path / "none")]) == WRONG
    out, err = capsys.readouterr()
    assert out == ""
    assert "there is no such folder" in err


def test_check_counts_warnings_too(run: Run, tmp_path: Path) -> None:
    unused = "cautions: {spare: {text: Never shown., source: judgement}}\n"
    small_rulebook(tmp_path, spare=unused)
    status, out, _ = run("check")
    assert status == FOUND
    assert "spare.yaml:1:12: warning[unused]: " in out


def test_check_as_json_lists_the_same_problems(run: Run, tmp_path: Path) -> None:
    assert json.loads(run("check", "--json")[1])["problems"] == []
    small_rulebook(tmp_path, causes=CAUSES.replace("commonness: 5", "commonness: -5"))
    status, out, _ = run("check", "--json")
    (problem,) = json.loads(out)["problems"]
    assert status == FOUND
    assert problem["path"].endswith("causes.yaml")
    assert (problem["line"], problem["severity"]) == (18, "error")


# -- ask --


NEW = ["A van", "It shakes at sixty", "joint-replaced", "", "yes"]


def test_ask_begins_a_case_that_is_on_disk_with_every_answer(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    status, out, err = run("ask", path, "--plain", typed=NEW[:3])
    assert (status, err) == (DONE, "")
    assert "What was the last work on the driveline?" in out
    begun = read_case(path)
    assert (begun.vehicle, begun.complaint) == ("A van", "It shakes at sixty")
    assert begun.latest() == {"last-work": "joint-replaced"}


def test_end_of_input_says_how_to_go_on(run: Run, tmp_path: Path, book: Path) -> None:
    path = tmp_path / "van.yaml"
    status, out, _ = run("ask", path, "--plain", "--role", "trainer", typed=NEW[:2])
    assert status == DONE
    command = f"advisor ask {path} --role trainer --plain --rulebook {book}"
    assert out.endswith(f"\nsaved. Go on with:\n{command}\n")  # on one line, however long it is


def test_way_to_go_on_can_be_pasted_though_the_path_has_blanks(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "my cases"
    folder.mkdir()
    out = run("ask", folder / "van.yaml", "--plain", typed=[])[1]
    assert shlex.split(out.splitlines()[-1])[:3] == ["advisor", "ask", f"{folder}/van.yaml"]


def test_ask_goes_on_where_it_stopped(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    run("ask", path, "--plain", typed=NEW[:3])
    _, out, _ = run("ask", path, "--plain", typed=[])
    assert "Which vehicle" not in out
    assert "\nWhat was the last work" not in out
    assert list(read_case(path).latest()) == ["last-work"]


def test_ask_ends_with_the_ranking_the_advice_and_the_cure(run: Run, case: Path) -> None:
    typed = ["skip"] * 12
    status, out, err = run("ask", case, "--plain", typed=["", *["?"] * 30, *typed])
    assert (status, err) == (DONE, "")
    assert "\nCAUSES, most probable first\n" in out
    assert "\nTHE CURE, if it is this: " in out


def test_ask_refuses_a_name_that_is_no_case_id(run: Run, tmp_path: Path) -> None:
    status, _, err = run("ask", tmp_path / "My Case.yaml", typed=[])
    assert status == WRONG
    assert '"My Case" is no case id' in err
    assert list(tmp_path.glob("My*")) == []


def test_ask_in_a_folder_that_does_not_exist_is_refused(run: Run, tmp_path: Path) -> None:
    status, _, err = run("ask", tmp_path / "none" / "van.yaml", typed=[])
    assert status == WRONG
    assert "the folder does not exist" in err


# -- what nobody foresaw --


def boom(*_: object, **__: object) -> None:
    raise RuntimeError("a wheel came off")


def test_unforeseen_error_is_one_line_and_a_file_with_the_details(
    run: Run, case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("advisor.report.assess", boom)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    status, out, err = run("rank", case)
    (details,) = tmp_path.glob("advisor-error-*.txt")
    assert (status, out) == (WRONG, "")
    assert err == (
        f"this is a fault of the program, not yours; please report it with the file {details}\n"
    )
    text = details.read_text(encoding="utf-8")
    assert "Traceback" in text
    assert "RuntimeError: a wheel came off" in text


def test_unforeseen_error_is_told_when_no_file_can_be_written(
    run: Run, case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("advisor.report.assess", boom)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "nowhere"))
    status, out, err = run("rank", case)
    assert (status, out) == (WRONG, "")
    assert re.fullmatch(r'.*please report it with these words: "a wheel came off" in .*\n', err)


def test_program_that_is_not_installed_whole_says_so(
    run: Run, case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "advisor.report", None)
    status, out, err = run("rank", case)
    assert (status, out) == (WRONG, "")
    assert err.startswith("the program is not installed whole: ")
    assert err.count("\n") == 1


def test_ctrl_c_outside_the_interview_stops_without_a_traceback(
    run: Run, case: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("advisor.report.assess", interrupt)
    assert run("rank", case) == (INTERRUPTED, "", "stopped\n")
