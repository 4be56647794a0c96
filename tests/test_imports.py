"""Who imports whom: arrows point down only, and a verb loads no more than it needs."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import advisor
from advisor.cli import VERBS
from tests.proof.book import THIN, example_text, folder_of, write_examples

PACKAGE = Path(advisor.__file__).parent
ROOT = PACKAGE.parent

CORE = {"units", "driveline", "engine", "rulebook", "cases", "report"}
# part of advisor: the parts that it may import (DEVELOPERS.md, "The packages")
MAY_IMPORT = {
    "__init__": set[str](),
    "__main__": {"cli"},
    "units": set[str](),
    "driveline": set[str](),
    "engine": set[str](),
    "rulebook": {"shipped", "engine", "units", "driveline"},
    "completion": {"shipped", "driveline"},
    "cases": {"rulebook", "engine", "units"},
    "report": {"cases", "stock", "rulebook", "engine", "driveline", "units"},
    "life": {"layout", "report", "stock", "cases", "rulebook", "engine", "units"},
    "interview": {"life", "layout", "report", "cases", "rulebook", "engine", "units"},
    "stock": {"rulebook", "engine", "units", "driveline"},
    "settings": {"stock", "rulebook", "units"},
    "settingstext": {"settings", "rulebook"},
    "computing": CORE | {"proof", "stock", "settings"},
    "proof": CORE | {"computing", "stock", "settings"},
    "page": CORE | {"computing", "layout", "life", "stock"},
    "learning": CORE | {"proof", "settings"},
    "library": CORE | {"life", "proof"},
    "vehicles": {"proof", "cases", "rulebook", "engine", "units"},
    "teaching": CORE - {"driveline"} | {"vehicles", "interview", "layout"},
    "schema": CORE
    | {"computing", "proof", "stock", "settings", "life", "teaching", "settingstext"},
    "checking": {"rulebook", "engine", "units", "driveline"},
    "writing": {"interview", "checking", "proof", "layout", "cases", "rulebook", "engine", "units"},
    "comparing": {"proof", "checking", "layout", "cases", "rulebook", "engine", "units"},
    "lastresort": set[str](),
    "shipped": set[str](),
    "layout": set[str](),
    "arguments": {"layout"},
}
MAY_IMPORT["verbs"] = MAY_IMPORT.keys() - {"__init__", "__main__"}  # each calls some package
MAY_IMPORT["cli"] = {"verbs", *MAY_IMPORT["verbs"]}
# all that runtime code may import from outside; pydantic_core comes with pydantic
FOREIGN = {"pydantic", "pydantic_core", "yaml", "prompt_toolkit"}
# what a part imports besides, from an optional extra
OPTIONAL = {"page": {"matplotlib", "jinja2", "markupsafe"}}
HEAVY = {"prompt_toolkit", "numpy", "scipy", "pint", "matplotlib", "jinja2", "distributed"}


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def dotted(path: Path) -> list[str]:
    """The package that a relative import in this file starts from, as a list of names."""
    return ["advisor", *path.relative_to(PACKAGE).parent.parts]


def imported(path: Path) -> Iterator[str]:
    """Every module that a file imports, dotted; of `from a import b` both `a` and `a.b`."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = dotted(path)[: 1 - node.level or None] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            yield module
            yield from (f"{module}.{name.name}" for name in node.names)


def parts_imported(path: Path) -> set[str]:
    """The other parts of advisor that a file imports, such as "engine"."""
    parts = {name.split(".")[1] for name in imported(path) if name.startswith("advisor.")}
    return parts - {part_of(path), "__version__"}


def test_every_part_has_its_place_in_the_layers() -> None:
    assert {part_of(path) for path in modules()} <= MAY_IMPORT.keys()


@pytest.mark.parametrize("part", sorted(MAY_IMPORT))
def test_part_imports_only_what_lies_below_it(part: str) -> None:
    wrong = {
        str(path.relative_to(ROOT)): upward
        for path in modules()
        if part_of(path) == part and (upward := parts_imported(path) - MAY_IMPORT[part])
    }
    assert wrong == {}


def test_no_two_parts_import_each_other_by_any_way_round() -> None:
    below: dict[str, set[str]] = {part: set() for part in MAY_IMPORT}
    for path in modules():
        below[part_of(path)] |= parts_imported(path)
    done: list[str] = []
    while len(done) < len(below):
        free = [part for part in below if part not in done and below[part] <= set(done)]
        assert free, f"a cycle among {sorted(set(below) - set(done))}"
        done += free


def test_runtime_code_imports_nothing_foreign_but_what_the_program_depends_on() -> None:
    wrong = {
        f"{path.relative_to(ROOT)}: {name}"
        for path in modules()
        for name in imported(path)
        if name.split(".")[0]
        not in sys.stdlib_module_names | {"advisor"} | FOREIGN | OPTIONAL.get(part_of(path), set())
    }
    assert wrong == set()


def test_terminal_library_is_imported_by_the_interview_alone() -> None:
    users = {
        part_of(path)
        for path in modules()
        if any(name.split(".")[0] == "prompt_toolkit" for name in imported(path))
    }
    assert users <= {"interview"}


@pytest.mark.parametrize("part", ["units", "driveline", "engine"])
def test_inner_layers_know_no_yaml_no_models_and_no_terminal(part: str) -> None:
    tops = {n.split(".")[0] for path in modules() if part_of(path) == part for n in imported(path)}
    assert not tops & FOREIGN


def modules_loaded_by(*words: str) -> set[str]:
    """The top-level modules in a new interpreter after running one verb."""
    program = (
        "import sys\n"
        "from advisor.cli import main\n"
        "try:\n"
        "    status = main(sys.argv[1:])\n"
        "except SystemExit as stop:\n"
        "    status = stop.code\n"
        "assert status == 0, status\n"
        "print(*sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *words],
        cwd=ROOT,
        input="stop\n",
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return set(done.stderr.splitlines()[-1].split())


CASE = "cases/pickup-shake.yaml"


STACK = ["span=80.1 mm", "width=77 mm", "ring_1=1.5 mm", "ring_2=1.5 mm"]
SHIMS = "cases/shims/lifted-pickup.yaml"
RUNS = ["initial=4", "trial_mass=10 g", "at=0 deg: 6, 120 deg: 3.46, 240 deg: 9.17", "u=0.1"]
SMALL = ["--rulebook", "SMALL"]  # the small rulebook of the tests, in the folder of the test
LIGHT = (
    ["--help"],
    ["--version"],
    ["completion", "bash"],
    ["complete-words", "causes"],
    ["complete-words", "functions"],
)
USUAL = (
    ["rank", CASE],
    ["why", CASE],
    ["rings", CASE],
    ["statement", CASE],
    ["history", CASE],
    ["reopen", "CLOSED", "NEW", "--ever-right", "no", *SMALL],
    ["close", "OPEN", "--none-of-the-listed", *SMALL],
    ["ask", "NEW", "--plain", *SMALL],
    ["find", "shake", "--library", "cases"],
    ["similar", CASE, "--library", "cases"],
    ["figures", "--library", "cases"],
    ["export", "--library", "cases"],
    ["check", *SMALL],
    ["new", "--copy", "NEW"],
    ["prove", *SMALL],
    ["compare", "SMALL", "SMALL", "--cases", "CASES"],
    ["replay", "CASES", *SMALL],
    ["calibrate", "CASES", *SMALL],
    ["practise", "NEW", "--plain", "--seed", "7", *SMALL],
    ["compute"],
    ["compute", "ring-stack-end-play", *STACK],
    ["orders", "measured=42.4 Hz", "road_speed=60 mph", "tyre_size=265/70R17", "axle_ratio=3.73"],
    ["shims", SHIMS],
    ["trial-weights", *RUNS],
    ["schema"],
    ["settings", *SMALL],
)


def test_every_verb_is_held_to_its_budget() -> None:
    page = ["page"]  # below, by itself
    assert {words[0] for words in (*LIGHT, *USUAL, page)} >= VERBS.keys()


@pytest.mark.parametrize("words", LIGHT, ids=" ".join)
def test_words_of_the_command_line_load_neither_models_nor_yaml(words: list[str]) -> None:
    assert not modules_loaded_by(*words) & (HEAVY | {"pydantic", "pydantic_core", "yaml"})


@pytest.mark.slow  # an interpreter for each
@pytest.mark.parametrize("words", USUAL, ids=lambda words: words[0])
def test_verb_loads_no_heavy_library(words: list[str], tmp_path: Path) -> None:
    assert not modules_loaded_by(*_in_folder(words, tmp_path)) & HEAVY


def _in_folder(words: list[str], folder: Path) -> list[str]:
    """The words with SMALL, CASES, OPEN, CLOSED and NEW made in this folder."""
    head = "format: 1\nid: car\nrulebook: {id: small, version: 0.1.0}\nanswers: {vibrates: 'yes'}\n"
    made = {name: folder / name.lower() for name in ("CASES", "OPEN", "CLOSED", "NEW")}
    made["SMALL"] = folder_of(folder)
    write_examples(
        made["SMALL"], "examples:\n" + example_text(THIN, "first: rings-too-thin", "thin")
    )
    made["CASES"].mkdir()
    closed = f"{head}outcome: {{causes: [rings-too-thin]}}\n"
    made["OPEN"].write_text(head, encoding="utf-8")
    made["CLOSED"].write_text(closed, encoding="utf-8")
    (made["CASES"] / "car.yaml").write_text(closed, encoding="utf-8")
    return [str(made.get(word, word)) for word in words]


def test_page_is_made_with_the_drawing_library_and_templates_and_nothing_heavier() -> None:
    loaded = modules_loaded_by("page", CASE, "--output", "-") & HEAVY
    # Matplotlib itself stands on NumPy.
    assert loaded == {"matplotlib", "jinja2", "numpy"}
