"""Loading a folder: what is read, what is compiled, and that all problems come in one go."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from advisor import rulebook as face
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import ByBand, ByChoice, Finding
from advisor.engine.values import Interval
from advisor.rulebook import LoadError, Rulebook, load, shipped
from advisor.rulebook.draft import MOST_GUESSES
from tests.helpers_rulebook import CAUSES, FILES, PLACES, QUESTIONS, RULEBOOK, small_rulebook
from tests.rulebook.examples import bands, computed, finding, question, value, when


@pytest.fixture
def small(tmp_path: Path) -> Rulebook:
    return load(small_rulebook(tmp_path))


def refused(folder: Path) -> LoadError:
    with pytest.raises(LoadError) as caught:
        load(folder)
    return caught.value


def codes(error: LoadError) -> list[str]:
    return [one.code for one in error.problems]


def finding_of(rulebook: Rulebook, name: str) -> Finding:
    return next(one for one in rulebook.rules.findings if one.id == name)


class TestCompiled:
    def test_small_rulebook_loads_without_a_warning(self, small: Rulebook) -> None:
        assert small.warnings == ()

    def test_order_is_that_of_the_files(self, small: Rulebook) -> None:
        assert [one.id for one in small.rules.questions] == list(small.questions)
        assert list(small.questions)[:3] == ["last-work", "vibrates", "felt-in"]
        assert [one.id for one in small.rules.causes] == ["rings-too-thin", "wheel-unbalance"]

    def test_question_with_a_place_is_a_test_by_itself(self, small: Rulebook) -> None:
        test = small.tests["vibrates"]
        assert test.name == small.questions["vibrates"].ask
        assert (test.place, test.minutes, test.answers) == ("road", 5.0, ("vibrates",))
        assert test.cautions == ("road-test",)
        assert list(small.tests) == ["last-work", "vibrates", "felt-in", "note", "measure-joint"]
        assert [one.id for one in small.rules.tests] == list(small.tests)

    def test_rates_of_a_yes_no_finding_are_those_of_true_and_false(self, small: Rulebook) -> None:
        found = finding_of(small, "began-after-joint-work")
        assert found.outcomes == ("true", "false")
        assert found.usual == pytest.approx((0.1, 0.9), abs=1e-12)
        assert found.rates["rings-too-thin"] == pytest.approx((0.8, 0.2), abs=1e-12)

    def test_anything_else_collects_the_options_not_listed(self, small: Rulebook) -> None:
        source = finding_of(small, "last-work-done").source
        assert isinstance(source, ByChoice)
        assert source.outcome_of == {"joint-replaced": 1, "tyres-replaced": 0, "none-known": 1}

    def test_bands_fill_the_line(self, small: Rulebook) -> None:
        source = finding_of(small, "stack-end-play").source
        assert isinstance(source, ByBand)
        assert source.bands == (
            Interval(high=0.0),
            Interval(0.0, 5e-5, True, True),
            Interval(low=5e-5),
        )

    def test_end_shared_by_two_bands_belongs_to_one(self, tmp_path: Path) -> None:
        """To a `between` rather than `above`, else to the lower; spellings in two units meet."""
        text = bands(
            value("high", 0.1, "above: 3 mm"),
            value("low", 0.4, "below: 1 mm"),
            value("middle", 0.25, "between: [0.1 cm, 2 mm]"),
            value("upper", 0.25, "between: [2 mm, 3 mm]"),
        ).replace("usual: 0.5", "usual: 0.25")
        source = finding_of(load(small_rulebook(tmp_path, z_extra=text)), "extra").source
        assert isinstance(source, ByBand)
        for x in (0.0005, 0.001, 0.0015, 0.002, 0.0025, 0.003, 0.0035):
            holders = [index for index, band in enumerate(source.bands) if x in band]
            assert len(holders) == 1, x
            expected = 1 if x < 0.001 else 2 if x <= 0.002 else 3 if x <= 0.003 else 0
            assert holders == [expected], x

    def test_engine_takes_the_rules(self, small: Rulebook) -> None:
        diagnosis = Diagnosis(small.rules)
        diagnosis.answer("last-work", small.parse_answer("last-work", "joint"))
        assert diagnosis.ranking().causes[0].cause == "rings-too-thin"

    def test_words_for_facts_gauges_and_limits(self, small: Rulebook) -> None:
        assert small.name_of("end-play") == "End play of the cross in the yoke"
        assert small.name_of("ring-1") == "How thick is the first ring?"
        assert small.name_of("last-work-done") == "The last work on the driveline"
        assert [gauge.name for _, gauge in small.gauges_for("end-play")] == ["Digital caliper"]
        assert small.gauges_for("vibrates") == ()
        limits = (Interval(high=0.001), Interval(0.002, 0.003, True, True), Interval(low=0.004))
        shown = small.show_intervals("ring-1", limits)
        assert shown == "below 1 mm or 2 mm to 3 mm or above 4 mm"


class TestFolder:
    def test_shipped_folder_is_that_of_the_checkout(self) -> None:
        assert shipped() == Path(__file__).resolve().parents[2] / "rulebooks" / "driveline"

    @pytest.mark.parametrize("what", ["missing", "file", "dangling"])
    def test_folder_that_is_none_is_a_problem(self, tmp_path: Path, what: str) -> None:
        folder = tmp_path / "rules"
        if what == "file":
            folder.write_text("a: 1\n")
        elif what == "dangling":
            folder.symlink_to(tmp_path / "nowhere")
        assert codes(refused(folder)) == ["unreadable-file"]

    def test_empty_folder_lacks_its_sections(self, tmp_path: Path) -> None:
        assert codes(refused(tmp_path)) == ["missing-section"] * 3

    @pytest.mark.parametrize(
        ("file", "text", "section"),
        [
            ("rulebook", None, "rulebook"),
            ("causes", None, "causes"),
            ("places", PLACES.replace("places:", "tests:"), "places"),
        ],
    )
    def test_section_that_is_missing_is_named(
        self, tmp_path: Path, file: str, text: str | None, section: str
    ) -> None:
        error = refused(small_rulebook(tmp_path, **{file: text}))
        missing = [one.message for one in error.problems if one.code == "missing-section"]
        assert missing == [f'no file of the rulebook has the section "{section}"']

    def test_schema_sub_folder_and_other_files_are_not_read(self, tmp_path: Path) -> None:
        folder = small_rulebook(tmp_path)
        (folder / "rulebook.schema.yaml").write_text("nonsense: 1\n")
        (folder / "notes.txt").write_text("nonsense")
        (folder / "inside").mkdir()
        (folder / "inside" / "more.yaml").write_text("nonsense: 1\n")
        assert load(folder).warnings == ()

    def test_yml_file_brings_a_warning(self, tmp_path: Path) -> None:
        folder = small_rulebook(tmp_path)
        (folder / "more.yml").write_text("nonsense: 1\n")
        assert [one.code for one in load(folder).warnings] == ["file-not-read"]

    @pytest.mark.parametrize("what", ["folder", "dangling"])
    def test_yaml_file_that_cannot_be_read_is_the_only_problem(
        self, tmp_path: Path, what: str
    ) -> None:
        folder = small_rulebook(tmp_path, questions=None)
        path = folder / "questions.yaml"
        if what == "folder":
            path.mkdir()
        else:
            path.symlink_to(tmp_path / "nowhere")
        error = refused(folder)
        assert [(one.path, one.code) for one in error.problems] == [
            (path.as_posix(), "unreadable-file")
        ]

    @pytest.mark.parametrize(
        ("number", "advice"), [(2, "update the program"), (0, "write the rulebook anew")]
    )
    def test_unknown_format_says_what_to_do(self, tmp_path: Path, number: int, advice: str) -> None:
        text = RULEBOOK.replace("format: 1", f"format: {number}\n  novelty: 1")
        (problem,) = refused(small_rulebook(tmp_path, rulebook=text)).problems
        assert (problem.line, problem.column, problem.code) == (2, 11, "unknown-format")
        assert advice in problem.hint


class TestMeasuredAndComputed:
    def test_fact_that_is_both_is_one_number(self, tmp_path: Path) -> None:
        sizes = "first: ring-1, second: ring-2"
        extra = computed("difference", sizes).replace("extra", "vibrates")
        (problem,) = refused(small_rulebook(tmp_path, z_extra=extra)).problems
        assert (problem.code, Path(problem.path).name) == ("wrong-kind", "questions.yaml")
        assert "is a number (length); a fact both measured and computed" in problem.message


class TestAllProblemsAtOnce:
    def test_problems_of_several_files_come_together_and_in_order(self, tmp_path: Path) -> None:
        folder = small_rulebook(
            tmp_path,
            a=question("kind: yes-no\nplace: dusk\nminutes: 1"),
            b="gauges: {g: {name: G, step: 1 mm, limit: 1 deg, source: s}}\n",
            c="causes: [a]\n",
            d=when("{vibrate: true}").replace("extra:", "other:"),
        )
        error = refused(folder)
        found = [(Path(one.path).name, one.line, one.column, one.code) for one in error.problems]
        assert found == [
            ("a.yaml", 6, 12, "unknown-place"),
            ("b.yaml", 1, 42, "wrong-quantity"),
            ("c.yaml", 1, 1, "wrong-type"),
            ("d.yaml", 5, 12, "unknown-fact"),
        ]

    @pytest.mark.parametrize("section", list(FILES))
    def test_file_that_is_no_yaml_sets_off_no_false_complaint(
        self, tmp_path: Path, section: str
    ) -> None:
        error = refused(small_rulebook(tmp_path, **{section: "a: b: c\n"}))
        assert codes(error) == ["yaml-syntax"]

    @pytest.mark.parametrize("section", ["places", "questions", "findings", "causes"])
    def test_section_of_another_shape_sets_off_no_false_complaint(
        self, tmp_path: Path, section: str
    ) -> None:
        text = f"{section}: wrong\n"
        if section == "places":
            text += PLACES[PLACES.index("cautions:\n") :]
        if section == "questions":
            text += QUESTIONS[QUESTIONS.index("tests:") :]
        error = refused(small_rulebook(tmp_path, **{section: text}))
        assert codes(error) == ["wrong-type"]

    @pytest.mark.parametrize(
        ("file", "old", "new"),
        [
            ("questions", "kind: choice\n", "kind: chioce\n"),
            ("questions", "    why: The rings and the cross share this width.\n", ""),
            ("questions", "    name: Measure yoke", "    names: Measure yoke"),
            ("questions", "    function: ring-stack-end-play\n", ""),
            ("questions", "function: ring-stack-end-play", "function: ring-stack"),
            ("places", "name: On the bench, ", ""),
            ("places", "    text: A retaining ring can", "    txt: A retaining ring can"),
            ("places", "name: Digital caliper, ", ""),
            ("findings", "    usual: 1 in 10\n", ""),
            ("causes", "    commonness: 3\n", ""),
        ],
    )
    def test_faulty_record_sets_off_no_complaint_about_its_name(
        self, tmp_path: Path, file: str, old: str, new: str
    ) -> None:
        assert old in FILES[file]
        error = refused(small_rulebook(tmp_path, **{file: FILES[file].replace(old, new, 1)}))
        kinds = {"missing-field", "unknown-field", "question-kind", "unknown-function"}
        assert set(codes(error)) <= kinds

    @pytest.mark.parametrize(
        ("file", "old", "new"),
        [
            ("rulebook", "escalation_minutes: 240", "escalation_minutes: 1e300"),
            ("places", "minutes: 15", "minutes: 1e300"),
            ("causes", "commonness: 3", "commonness: 1e300"),
            ("causes", "commonness: 3", "commonness: 1e-300"),
        ],
    )
    def test_numbers_that_nobody_can_mean_are_refused(
        self, tmp_path: Path, file: str, old: str, new: str
    ) -> None:
        """Sums and products of them are no numbers any more."""
        assert old in FILES[file]
        error = refused(small_rulebook(tmp_path, **{file: FILES[file].replace(old, new, 1)}))
        assert codes(error) == ["wrong-value"]

    def test_section_of_an_unknown_name_brings_the_nearest(self, tmp_path: Path) -> None:
        text = FILES["findings"].replace("findings:", "finding:", 1)
        (problem,) = refused(small_rulebook(tmp_path, findings=text)).problems
        assert (problem.line, problem.column, problem.code) == (1, 1, "unknown-field")
        assert problem.hint == 'did you mean "findings"?'


class TestReferences:
    def test_related_place_shows_where_the_nearest_name_stands(self, tmp_path: Path) -> None:
        (problem,) = refused(small_rulebook(tmp_path, z_extra=when("{vibrate: true}"))).problems
        assert problem.hint == 'did you mean "vibrates"?'
        (place,) = problem.related
        assert (Path(place.path).name, place.line, place.column) == ("questions.yaml", 9, 3)

    def test_beyond_some_hundred_problems_no_name_is_guessed(self, tmp_path: Path) -> None:
        """Each guess takes longer with more names: thousands of both would take minutes."""
        rates = ", ".join(f"rings-too-thin-{number}: 0.8" for number in range(MOST_GUESSES + 1))
        text = when("{vibrates: true}").replace("rings-too-thin: 0.8", rates)
        problems = refused(small_rulebook(tmp_path, z_extra=text)).problems
        assert len(problems) == MOST_GUESSES + 1
        assert [one.hint for one in problems].count(
            'did you mean "rings-too-thin"?'
        ) == MOST_GUESSES

    def test_name_that_is_like_no_other_brings_no_guess(self, tmp_path: Path) -> None:
        (problem,) = refused(small_rulebook(tmp_path, z_extra=when("{qqqq: true}"))).problems
        assert problem.hint == ""

    @pytest.mark.parametrize(
        ("first", "second"),
        [
            (question("kind: text\nplace: desk\nminutes: 1"), when("{vibrates: true}")),
            (when("{vibrates: true}"), question("kind: text\nplace: desk\nminutes: 1")),
            (computed("difference", "first: ring-1, second: ring-2"), when("{vibrates: true}")),
            (when("{vibrates: true}"), when("{vibrates: false}")),
        ],
        ids=["question-finding", "finding-question", "computed-finding", "finding-finding"],
    )
    def test_duplicate_id_names_both_places(self, tmp_path: Path, first: str, second: str) -> None:
        error = refused(small_rulebook(tmp_path, y_first=first, z_second=second))
        (problem,) = [one for one in error.problems if one.code == "duplicate-id"]
        assert (Path(problem.path).name, problem.line, problem.column) == ("z-second.yaml", 2, 3)
        (place,) = problem.related
        assert (Path(place.path).name, place.line, place.column) == ("y-first.yaml", 2, 3)

    def test_test_may_not_take_the_id_of_a_question_with_a_place(self, tmp_path: Path) -> None:
        text = QUESTIONS.replace("  measure-joint:\n", "  vibrates:\n")
        causes = CAUSES.replace("measure-joint", "vibrates")
        error = refused(small_rulebook(tmp_path, questions=text, causes=causes))
        assert codes(error) == ["duplicate-id"]

    def test_second_rulebook_record_is_refused(self, tmp_path: Path) -> None:
        error = refused(small_rulebook(tmp_path, z_extra=RULEBOOK))
        assert [(one.line, one.column, one.code) for one in error.problems] == [
            (1, 1, "duplicate-id")
        ]

    @pytest.mark.parametrize("name", ["dont-know", "anything-else", "Left", "a_b"])
    def test_option_of_a_reserved_or_odd_id_is_refused(self, tmp_path: Path, name: str) -> None:
        text = question(f"kind: choice\noptions: {{{name}: A, other: B}}\nplace: desk\nminutes: 1")
        error = refused(small_rulebook(tmp_path, z_extra=text))
        assert [(one.line, one.column, one.code) for one in error.problems] == [(6, 15, "wrong-id")]

    @pytest.mark.parametrize("name", ["all", "any", "not"])
    def test_fact_may_not_have_the_name_of_a_condition(self, tmp_path: Path, name: str) -> None:
        text = question("kind: yes-no\nplace: desk\nminutes: 1", name)
        assert codes(refused(small_rulebook(tmp_path, z_extra=text))) == ["wrong-id"]

    def test_opening_may_name_an_implied_test_only_if_it_exists(self, tmp_path: Path) -> None:
        text = RULEBOOK.replace("[last-work]", "[last-work, last-works]")
        (problem,) = refused(small_rulebook(tmp_path, rulebook=text)).problems
        assert (problem.line, problem.column, problem.code) == (9, 24, "unknown-test")

    def test_gauge_of_another_dimension_is_refused(self, tmp_path: Path) -> None:
        text = question("kind: number\nunit: deg\nplace: desk\nminutes: 1\ngauge: caliper")
        (problem,) = refused(small_rulebook(tmp_path, z_extra=text)).problems
        assert (problem.line, problem.column, problem.code) == (9, 12, "wrong-dimension")

    def test_several_valued_finding_cannot_stop_driving(self, tmp_path: Path) -> None:
        text = FILES["findings"] + "    stop_driving: road-test\n"
        (problem,) = refused(small_rulebook(tmp_path, findings=text)).problems
        assert (problem.column, problem.code) == (5, "unknown-field")

    @pytest.mark.parametrize(
        ("lines", "at", "code"),
        [
            ("choice: felt-in\nvalues: {a: {usual: 0.5}, b: {usual: 0.5}}", (5, 13), "wrong-kind"),
            ("choice: ring-1\nvalues: {a: {usual: 0.5}, b: {usual: 0.5}}", (5, 13), "wrong-kind"),
            ("bands: vibrates\nvalues: {a: {usual: 0.5}, b: {usual: 0.5}}", (5, 12), "wrong-kind"),
        ],
    )
    def test_finding_of_a_fact_of_the_wrong_kind_is_refused(
        self, tmp_path: Path, lines: str, at: tuple[int, int], code: str
    ) -> None:
        (problem,) = refused(small_rulebook(tmp_path, z_extra=finding(lines))).problems
        assert (problem.line, problem.column, problem.code) == (*at, code)


class TestCycles:
    def test_every_step_is_shown_with_its_place(self, tmp_path: Path) -> None:
        text = (
            question("kind: yes-no\nplace: desk\nminutes: 1\nask_if: {fb: true}", "qa")
            + when("{qa: true}").replace("extra:", "fa:")
            + when("{fa: true}").replace("extra:", "fb:").replace("findings:\n", "")
        )
        (problem,) = refused(small_rulebook(tmp_path, z_extra=text)).problems
        assert problem.code == "cycle"
        steps = [(place.line, place.column, place.message) for place in problem.related]
        assert steps == [
            (13, 12, 'finding "fa" reads "qa"'),
            (8, 14, 'question "qa" reads "fb"'),
            (20, 12, 'finding "fb" reads "fa"'),
        ]

    def test_two_cycles_are_two_problems(self, tmp_path: Path) -> None:
        text = when("{extra: true}") + when("{other: true}").replace("extra:", "other:", 1).replace(
            "findings:\n", ""
        )
        assert codes(refused(small_rulebook(tmp_path, z_extra=text))) == ["cycle", "cycle"]


class TestFace:
    def test_all_names_of_the_face_exist_and_are_sorted(self) -> None:
        assert len(set(face.__all__)) == len(face.__all__)
        for name in face.__all__:
            assert hasattr(face, name)

    def test_import_brings_in_no_heavy_package(self) -> None:
        code = (
            "import sys, advisor.rulebook; "
            "print(*{'prompt_toolkit', 'numpy', 'scipy', 'pint'} & set(sys.modules))"
        )
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True
        )
        assert done.stdout.strip() == ""
