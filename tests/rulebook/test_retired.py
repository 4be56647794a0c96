"""A retired id still loads wherever it stands, as what took its place, and never comes back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.cases import CaseLock, CaseSession, open_case, read_case
from advisor.cases.lines import Line, read_case_line
from advisor.proof import prove
from advisor.rulebook import LoadError, Problem, Rulebook, load
from tests.fuzzing.watch import limited
from tests.helpers_rulebook import FILES, small_rulebook
from tests.rulebook.examples import RENAMED, retired, when

# every section, each with an old id for one that the small rulebook has
OLD = {
    "places": ("garage", "bench"),
    "cautions": ("spring", "ring-spring"),
    "questions": ("fork-span", "yoke-span"),
    "tests": ("measure-fork", "measure-joint"),
    "gauges": ("calliper", "caliper"),
    "computed": ("axial-play", "end-play"),
    "findings": ("thick-stack", "stack-end-play"),
    "causes": ("thin-rings", "rings-too-thin"),
}
RETIRED = "retired:\n" + "".join(
    f"  {section}:\n    {old}: {{replaced_by: {new}, retired_in: 0.2.0, reason: A better word.}}\n"
    for section, (old, new) in OLD.items()
)
NEW_OF = dict(OLD.values())
READS_FINDING = when("{all: [{stack-end-play: good}, {not: {end-play: {known: false}}}]}")


def with_old_ids(text: str) -> str:
    """The text with every reference by its old id; the records themselves keep their new ones."""
    lines = []
    for line in text.splitlines(keepends=True):
        is_record = line.startswith("  ") and line[2] != " "
        key, colon, rest = line.partition(":") if is_record else ("", "", line)
        for old, new in OLD.values():
            rest = re.sub(rf"(?<![\w-]){new}(?![\w-])", old, rest)
        lines.append(key + colon + rest)
    return "".join(lines)


@pytest.fixture
def renamed(tmp_path: Path) -> Rulebook:
    files = {name: with_old_ids(text) for name, text in FILES.items()}
    return load(small_rulebook(tmp_path, **files, extra=with_old_ids(READS_FINDING), old=RETIRED))


def errors(tmp_path: Path, **changes: str) -> list[tuple[str, str]]:
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, **changes))
    return [(one.code, one.message) for one in caught.value.problems]


class TestInARulebook:
    def test_old_ids_everywhere_give_the_same_rules(
        self, tmp_path: Path, renamed: Rulebook
    ) -> None:
        (tmp_path / "plain").mkdir()
        plain = load(small_rulebook(tmp_path / "plain", extra=READS_FINDING)).rules
        for part in ("questions", "findings", "causes", "places", "tests", "opening"):
            assert getattr(renamed.rules, part) == getattr(plain, part)
        (first,), (second,) = renamed.rules.computed, plain.computed
        assert first.inputs == second.inputs

    def test_each_place_has_a_warning_that_names_the_new_id(self, renamed: Rulebook) -> None:
        assert {one.code for one in renamed.warnings} == {"retired-id"}
        for one in renamed.warnings:
            old = one.source[one.column - 1 : one.end_column - 1]
            assert one.hint == f'write "{NEW_OF[old]}"'
            assert "was retired in 0.2.0: A better word" in one.message
        said = {one.source[one.column - 1 : one.end_column - 1] for one in renamed.warnings}
        # the place, caution, question and so on that something of the small rulebook refers to
        assert said == set(NEW_OF)

    def test_old_and_new_side_by_side_count_as_the_new_one(self, tmp_path: Path) -> None:
        extra = when("{vibrates: true}").replace("0.8}", "0.8, thin-rings: 0.2}")
        rulebook = load(small_rulebook(tmp_path, extra=extra, old=RETIRED))
        (warning,) = rulebook.warnings
        assert warning.hint == 'take it out; "rings-too-thin" stands here too, and counts'
        finding = next(one for one in rulebook.rules.findings if one.id == "extra")
        assert finding.rates["rings-too-thin"][0] == pytest.approx(0.8)

    def test_chain_leads_to_its_end(self, tmp_path: Path) -> None:
        chain = retired(
            f"    trembles: {{{RENAMED.replace('vibrates', 'shakes')}}}\n"
            f"    shakes: {{{RENAMED}}}\n"
        )
        rulebook = load(small_rulebook(tmp_path, old=chain))
        assert {new.id for new in rulebook.retired.values()} == {"vibrates"}

    def test_long_chain_and_long_circle_are_followed_at_once(self, tmp_path: Path) -> None:
        records = [RENAMED.replace("vibrates", f"old-{number + 1}") for number in range(2000)]
        chain = "".join(f"    old-{place}: {{{one}}}\n" for place, one in enumerate(records))
        whole = retired(f"{chain}    old-2000: {{{RENAMED}}}\n")
        circle = retired(f"{chain}    old-2000: {{{RENAMED.replace('vibrates', 'old-9')}}}\n")
        with limited(2.0):
            rulebook = load(small_rulebook(tmp_path, old=whole))
            assert {new.id for new in rulebook.retired.values()} == {"vibrates"}
            assert [code for code, _ in errors(tmp_path, old=circle)] == ["retired-circle"]

    def test_successor_that_does_not_exist_is_an_error_with_the_nearest(
        self, tmp_path: Path
    ) -> None:
        old = retired(f"    shakes: {{{RENAMED.replace('vibrates', 'vibrate')}}}\n")
        with pytest.raises(LoadError) as caught:
            load(small_rulebook(tmp_path, old=old))
        (problem,) = caught.value.problems
        assert (problem.code, problem.hint) == ("unknown-question", 'did you mean "vibrates"?')

    @pytest.mark.parametrize("section", OLD)
    def test_lost_successor_is_told_whatever_its_kind(self, tmp_path: Path, section: str) -> None:
        record = "{replaced_by: nothing-has-this-id, retired_in: 0.2.0, reason: odd}"
        old = f"retired:\n  {section}:\n    old: {record}\n"
        ((code, _),) = errors(tmp_path, old=old)
        assert code.startswith("unknown-")

    def test_retired_fact_may_not_come_back_as_another_kind_of_fact(self, tmp_path: Path) -> None:
        old = retired(f"    began-after-joint-work: {{{RENAMED}}}\n")
        assert [code for code, _ in errors(tmp_path, old=old)] == ["retired-in-use"]

    def test_measured_half_of_a_fact_may_be_retired_alone(self, tmp_path: Path) -> None:
        old = retired("    end-play: {replaced_by: yoke-span, retired_in: 0.2.0, reason: odd}\n")
        rulebook = load(small_rulebook(tmp_path, old=old))
        assert rulebook.warnings == ()
        bands = next(one for one in rulebook.rules.findings if one.id == "stack-end-play").source
        assert bands.fact == "end-play"  # type: ignore[union-attr]

    def test_id_that_is_neither_known_nor_retired_stays_an_error(self, tmp_path: Path) -> None:
        extra = when("{rattles: true}")
        assert [code for code, _ in errors(tmp_path, old=RETIRED, extra=extra)] == ["unknown-fact"]

    @pytest.mark.parametrize(
        ("text", "code"),
        [
            ("retired: {cause: {}}\n", "unknown-field"),
            ("retired: []\n", "wrong-type"),
            ("retired: {causes: []}\n", "wrong-type"),
            ("retired: {causes: {a: {replaced_by: rings-too-thin}}}\n", "missing-field"),
        ],
    )
    def test_wrong_form_is_told(self, tmp_path: Path, text: str, code: str) -> None:
        assert {found for found, _ in errors(tmp_path, old=text)} == {code}

    def test_retiring_twice_is_an_error(self, tmp_path: Path) -> None:
        found = errors(tmp_path, old=RETIRED, older=RETIRED)
        assert {code for code, _ in found} == {"duplicate-id"}


CASE = """\
format: 1
id: van
rulebook: {id: small, version: 0.1.0}
answers:
- {question: last-work, answer: joint-replaced}
- {question: fork-span, answer: 80.10 mm}
- {question: fork-span, taken_back: true}
- {question: fork-span, answer: 80.12 mm}
repairs:
- {cause: thin-rings}
place: garage
put_off: [measure-fork, vibrates]
outcome: {causes: [thin-rings]}
"""


class TestInACase:
    def test_every_old_id_is_mapped_and_told_at_its_place(self, tmp_path: Path) -> None:
        path = tmp_path / "van.yaml"
        path.write_text(CASE, encoding="utf-8")
        session = open_case(path, load(small_rulebook(tmp_path, old=RETIRED)))
        case = session.case
        assert case.latest() == {"last-work": "joint-replaced", "yoke-span": "80.12 mm"}
        assert (case.place, case.put_off) == ("bench", ("measure-joint", "vibrates"))
        assert case.repairs[0].cause == "rings-too-thin"
        assert case.outcome is not None
        assert case.outcome.causes == ("rings-too-thin",)
        places = [line.split(":")[1] for line in session.warnings]
        assert places == ["6", "7", "8", "10", "11", "12", "13"]
        assert session.warnings[0].endswith('A better word; write "yoke-span"')

    def test_answers_written_as_a_mapping_are_mapped(self, tmp_path: Path) -> None:
        path = tmp_path / "van.yaml"
        head, _, _ = CASE.partition("answers:")
        path.write_text(head + "answers: {fork-span: 80.12 mm}\n", encoding="utf-8")
        session = open_case(path, load(small_rulebook(tmp_path, old=RETIRED)))
        assert session.case.latest() == {"yoke-span": "80.12 mm"}

    def test_line_of_json_is_mapped_too(self, tmp_path: Path) -> None:
        rulebook = load(small_rulebook(tmp_path, old=RETIRED))
        text = (
            b'{"format": 1, "id": "van", "rulebook": {"id": "small", "version": "0.1.0"},'
            b' "answers": {"fork-span": "80.12 mm"}}'
        )
        read = read_case_line(Line(3, text), "cases.jsonl", rulebook.retired)
        assert read.case.latest() == {"yoke-span": "80.12 mm"}
        assert [one.line for one in read.renewed] == [3]

    def test_old_id_of_another_rulebook_stays_an_error(self, tmp_path: Path) -> None:
        path = tmp_path / "van.yaml"
        path.write_text(CASE, encoding="utf-8")
        with pytest.raises(LoadError):
            open_case(path, load(small_rulebook(tmp_path)))


GONE = "retired:\n" + "".join(
    f"  {section}: {{{name}: {{retired_in: 0.3.0, reason: Never of use.}}}}\n"
    for section, name in (
        ("questions", "fork-span"),
        ("tests", "measure-fork"),
        ("places", "garage"),
        ("causes", "thin-rings"),
    )
)
GONE_CASE = """\
format: 1
id: van
rulebook: {id: small, version: 0.1.0}
answers:
- {question: last-work, answer: joint-replaced}
- {question: fork-span, answer: 80.10 mm, who: RB}
- {question: vibrates, answer: "yes"}
- {question: fork-span, taken_back: true}
repairs:
- {cause: wheel-unbalance, answers_before: 2}
- {cause: thin-rings, answers_before: 4}
place: garage
put_off: [measure-fork, vibrates]
closing:
  after:
  - {question: fork-span, answer: 80.12 mm}
outcome: {causes: [thin-rings], note: Two new rings}
"""


def opened(tmp_path: Path, text: str, old: str = GONE, lock: CaseLock | None = None) -> CaseSession:
    path = tmp_path / "van.yaml"
    if not path.exists():
        path.write_text(text, encoding="utf-8")
    book = tmp_path / "small"
    return open_case(
        path, load(book if book.is_dir() else small_rulebook(tmp_path, old=old)), lock=lock
    )


class TestGone:
    """Ids with nothing in their place."""

    def test_case_is_told_at_each_place_what_counts_for_nothing(self, tmp_path: Path) -> None:
        told = opened(tmp_path, GONE_CASE).warnings
        places = {line.split(":")[1]: line for line in told}
        assert list(places) == ["6", "8", "16", "13", "12", "11", "17"]
        assert places["6"].endswith(
            'the question "fork-span" was retired in 0.3.0: Never of use; '
            "nothing took its place, so the answer counts for nothing"
        )
        for line, words in (
            ("16", "the reading counts for nothing"),
            ("13", "it is no longer put off"),
            ("12", "one is taken to be at the first place"),
            ("11", "the repair counts for nothing"),
            ("17", "it counts as none of the listed causes"),
        ):
            assert places[line].endswith(f"nothing took its place, so {words}")

    def test_what_is_left_counts_as_it_did(self, tmp_path: Path) -> None:
        session = opened(tmp_path, GONE_CASE)
        case = session.case
        assert case.latest() == {"last-work": "joint-replaced", "vibrates": "yes"}
        (repair,) = case.repairs
        assert (repair.cause, repair.answers_before) == ("wheel-unbalance", 1)
        assert session.diagnosis.mended == {"wheel-unbalance"}
        assert (session.place, case.put_off) == ("desk", ("vibrates",))
        assert case.outcome is not None
        assert (case.outcome.none_of_the_listed, case.outcome.note) == (True, "Two new rings")

    def test_other_confirmed_cause_stays_alone(self, tmp_path: Path) -> None:
        both = GONE_CASE.replace("[thin-rings]", "[thin-rings, wheel-unbalance]")
        outcome = opened(tmp_path, both).case.outcome
        assert outcome is not None
        assert (outcome.causes, outcome.none_of_the_listed) == (("wheel-unbalance",), False)

    def test_all_that_was_written_is_kept_in_the_file(self, tmp_path: Path) -> None:
        path = tmp_path / "van.yaml"
        opened(tmp_path, GONE_CASE)
        for answer in ("80 mm", "80.2 mm"):
            with CaseLock(path) as lock:
                opened(tmp_path, GONE_CASE, lock=lock).answer("yoke-span", answer)
        kept = read_case(path).retired
        assert kept is not None
        assert [(one.question, one.answer, one.who) for one in kept.answers] == [
            ("fork-span", "80.10 mm", "RB"),
            ("fork-span", None, None),
        ]
        assert [one.answer for one in kept.after] == ["80.12 mm"]
        assert [(one.cause, one.answers_before) for one in kept.repairs] == [("thin-rings", 4)]
        assert kept.causes == ("thin-rings",)
        assert opened(tmp_path, GONE_CASE).warnings == ()

    def test_answers_written_as_a_mapping_are_put_aside(self, tmp_path: Path) -> None:
        head, _, _ = GONE_CASE.partition("answers:")
        session = opened(tmp_path, head + "answers: {vibrates: true, fork-span: 80.12 mm}\n")
        assert session.case.latest() == {"vibrates": "yes"}
        assert session.case.retired is not None
        assert [one.answer for one in session.case.retired.answers] == ["80.12 mm"]

    def test_what_fits_no_rulebook_is_still_an_error_at_its_place(self, tmp_path: Path) -> None:
        with pytest.raises(LoadError) as caught:
            opened(tmp_path, GONE_CASE.replace("question: vibrates, ", "question: vibrate, "))
        (problem,) = caught.value.problems
        assert (problem.line, problem.code) == (7, "unknown-question")

    def test_rule_that_names_it_is_refused_with_the_reason(self, tmp_path: Path) -> None:
        extra = when("{fork-span: {above: 3 mm}}").replace("0.8}", "0.8, thin-rings: 0.2}")
        with pytest.raises(LoadError) as caught:
            load(small_rulebook(tmp_path, extra=extra, old=GONE))
        hints = {(one.code, one.hint) for one in caught.value.problems}
        hint = "it was retired in 0.3.0: Never of use; nothing took its place, so take it out"
        assert hints == {("unknown-fact", hint), ("unknown-cause", hint)}

    def test_example_that_names_it_is_refused_with_the_reason(self, tmp_path: Path) -> None:
        folder = small_rulebook(tmp_path, old=GONE)
        (folder / "examples").mkdir()
        (folder / "examples" / "van.yaml").write_text(EXAMPLES, encoding="utf-8")
        with pytest.raises(LoadError) as caught:
            prove(load(folder), folder / "examples")
        hints = {one.line: one.hint for one in caught.value.problems}
        assert sorted(hints) == [4, 6, 7, 8, 9, 10]  # the last is of another finding
        hint = "it was retired in 0.3.0: Never of use; nothing took its place, so take it out"
        assert {hints[line] for line in (4, 6, 7, 8, 9)} == {hint}

    def test_chain_that_ends_in_nothing_ends_there(self, tmp_path: Path) -> None:
        chain = "retired:\n  questions:\n" + (
            "    trembles: {replaced_by: fork-span, retired_in: 0.2.0, reason: renamed}\n"
            "    fork-span: {retired_in: 0.3.0, reason: Never of use.}\n"
        )
        text = GONE_CASE.partition("repairs:")[0].replace("fork-span", "trembles")
        session = opened(tmp_path, text, chain)
        assert 'the question "trembles" was retired in 0.3.0: Never of use' in session.warnings[0]
        assert "trembles" not in session.case.latest()

    def test_id_that_went_may_not_come_back(self, tmp_path: Path) -> None:
        old = "retired: {questions: {vibrates: {retired_in: 0.2.0, reason: odd}}}\n"
        assert [code for code, _ in errors(tmp_path, old=old)] == ["retired-in-use"]


EXAMPLES = """\
examples:
  van:
    says: A van
    answers: {last-work: joint-replaced, fork-span: 80.12 mm}
    expect:
      first: thin-rings
      pair: [thin-rings, wheel-unbalance]
      first_three: [thin-rings]
      at_least: {thin-rings: 0.1}
      findings: {thick-stack: unknown}
"""


def test_old_ids_in_an_example_are_mapped_and_told(tmp_path: Path) -> None:
    folder = small_rulebook(tmp_path, old=RETIRED)
    (folder / "examples").mkdir()
    (folder / "examples" / "van.yaml").write_text(EXAMPLES, encoding="utf-8")
    proof = prove(load(folder), folder / "examples")
    assert proof.failing == ()
    assert [(one.line, one.column) for one in proof.renewed] == [
        (4, 42), (6, 14), (7, 14), (8, 21), (9, 18), (10, 18),
    ]  # fmt: skip
    assert all(isinstance(one, Problem) for one in proof.renewed)


def test_block_of_the_guide_loads(tmp_path: Path) -> None:
    guide = (Path(__file__).parents[2] / "rulebooks" / "README.md").read_text(encoding="utf-8")
    (block,) = [
        one for one in re.findall(r"```yaml\n(.*?)```", guide, re.DOTALL) if "retired" in one
    ]
    block = block.replace("dirt-on-tube", "rings-too-thin")
    rulebook = load(small_rulebook(tmp_path, old=block))
    assert rulebook.retired["causes", "mud-on-tube"].retired_in == "0.2.0"
