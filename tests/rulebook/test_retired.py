"""A retired id still loads wherever it stands, as what took its place, and never comes back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.cases import open_case
from advisor.proof import prove
from advisor.rulebook import LoadError, Problem, Rulebook, load
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

    def test_successor_that_does_not_exist_is_an_error_with_the_nearest(
        self, tmp_path: Path
    ) -> None:
        old = retired(f"    shakes: {{{RENAMED.replace('vibrates', 'vibrate')}}}\n")
        with pytest.raises(LoadError) as caught:
            load(small_rulebook(tmp_path, old=old))
        (problem,) = caught.value.problems
        assert (problem.code, problem.hint) == ("unknown-question", 'did you mean "vibrates"?')

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

    def test_old_id_of_another_rulebook_stays_an_error(self, tmp_path: Path) -> None:
        path = tmp_path / "van.yaml"
        path.write_text(CASE, encoding="utf-8")
        with pytest.raises(LoadError):
            open_case(path, load(small_rulebook(tmp_path)))


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
