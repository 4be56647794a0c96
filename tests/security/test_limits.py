"""The worst file that is accepted costs little, and the worst text keeps no pattern busy."""

from __future__ import annotations

import importlib
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from advisor.cases import CaseFile, Record, RulebookRef, WriteError, read_case, write_case
from advisor.rulebook import MAX_BYTES, read_yaml
from advisor.rulebook.problems import LoadError
from advisor.rulebook.yamltree import MAX_NODES
from tests.fuzzing.watch import HangError, limited

ROOT: Final = Path(__file__).parents[2]
MEMORY_MIB: Final = 400  # address space of a Python with the reader is about 100

# -- files --

WORST: Final = {
    "as many values as may be": "a: [" + "1," * (MAX_NODES - 3) + "]",
    "as many mappings as may be": "a: [" + "{a: 1}," * (MAX_NODES // 3 - 2) + "]",
    "as many keys as may be": "".join(f"k{number}: 1\n" for number in range(90_000)),
    "one long text": f'a: "{"x" * (MAX_BYTES - 10)}"',
    "aliases of a large list": "a: &a [" + "1," * 9000 + "]\nb: [" + "*a," * 20 + "]",
    "aliases of aliases": "a0: &a0 [1]\n"
    + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 11)),
    "as deep as may be": "a: " + "[" * 39 + "]" * 39,
    "a number of a million digits": "a: " + "9" * 1_000_000 + "x",
    "many block texts": "a:\n" + " - |\n  x\n" * 100_000,
}
REFUSED: Final = {
    "values without end": "a: [" + "1," * (MAX_NODES + 1) + "]",
    "depth without end": "a: " + "[" * 1_000_000,
    "mappings within mappings": "{a: " * 250_000,
    "lists within lists": "- " * 500_000,
    "keys within keys": "? " * 500_000,
    "aliases that double": "a0: &a0 ["
    + "1," * 60_000
    + "]\n"
    + "".join(f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 9)),
    "a number that is not finite": "a: " + "9" * 1_000_000,
    "a power that is not finite": "a: 1e999999999",
    "a quote that is never closed": 'a: ["' + "\n" * 1_000_000,
    "underscores": "a: " + "1_" * 500_000,
    "base sixty": "a: " + "1:" * 500_000,
    "the same key again and again": "a: 1\n" * 200_000,
    "controls": "\x01\n" * 500_000,
    "code": 'a: !!python/object/apply:os.system ["exit"]',
    "a module": "a: !!python/module:os",
    "a tag of one's own": "a: !file /etc/passwd",
    "a tag by its whole name": 'a: !<tag:yaml.org,2002:python/name:os.system> ""',
    "an anchor of itself": "a: &a [*a]",
    "a merge": "a: &a {b: 1}\nc: {<<: *a}",
    "an include": "%INCLUDE /etc/passwd\n---\na: 1",
}


@pytest.mark.parametrize("text", WORST.values(), ids=WORST.keys())
def test_worst_file_that_is_accepted_is_read_at_once(tmp_path: Path, text: str) -> None:
    path = tmp_path / "worst.yaml"
    path.write_text(text, encoding="utf-8")
    with limited(20.0):
        read_yaml(path)


@pytest.mark.parametrize("text", REFUSED.values(), ids=REFUSED.keys())
def test_worse_file_is_refused_in_few_words(tmp_path: Path, text: str) -> None:
    path = tmp_path / "worse.yaml"
    path.write_text(text[:MAX_BYTES], encoding="utf-8")
    with limited(20.0), pytest.raises(LoadError) as caught:
        read_yaml(path)
    assert len(str(caught.value)) < 100_000


def test_file_larger_than_the_limit_is_not_read_to_its_end() -> None:
    if not Path("/dev/zero").exists() or os.name == "nt":
        pytest.skip("needs a file without end")
    with pytest.raises(LoadError, match="not an ordinary file"):
        read_yaml("/dev/zero")


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="needs the limits of POSIX")
@pytest.mark.parametrize("name", ["as many values as may be", "as many mappings as may be"])
def test_worst_file_needs_little_memory(tmp_path: Path, name: str) -> None:
    path = tmp_path / "worst.yaml"
    path.write_text(WORST[name], encoding="utf-8")
    program = (
        "import resource, sys; from advisor.rulebook import read_yaml; "
        f"resource.setrlimit(resource.RLIMIT_DATA, ({MEMORY_MIB} << 20, {MEMORY_MIB} << 20)); "
        "read_yaml(sys.argv[1])"
    )
    subprocess.run(
        [sys.executable, "-c", program, str(path)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
    )


@pytest.mark.slow
def test_largest_case_that_can_be_written_can_be_read_again(tmp_path: Path) -> None:
    path = tmp_path / "van.yaml"
    record = Record(question="q", answer="n")  # short ones make the most values
    written = 0
    for count in range(10_000, 60_000, 5_000):
        ref = RulebookRef(id="shop", version="1")
        case = CaseFile(format=1, id="van", rulebook=ref, answers=(record,) * count)
        try:
            write_case(path, case)
        except WriteError:
            break
        written = count
    assert written >= 20_000
    assert len(read_case(path).answers) == written


# -- patterns --

LENGTH: Final = 700  # characters; a pattern that tries all ways would need hours
PIECES: Final = (
    *(" ", "a", "0", "1.", "-", "a-", "1:", "0_", "/", "per ", " and ", "..", '"', "x", "in "),
    *("no ", "drive ", "- ", ";", " ..", "url(#", " font-family: ", "between "),
)
SEARCHED: Final = ("_CONTROL", "_DONE", "_FORBIDDEN", "_DRIVES", "_PLUS_MINUS", "_REFERENCE")


def patterns() -> dict[str, re.Pattern[str]]:
    """Every pattern that a module of the program keeps."""
    found = {}
    for path in sorted((ROOT / "advisor").rglob("*.py")):
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        if not module.endswith("__main__"):
            for name, value in vars(importlib.import_module(module)).items():
                if isinstance(value, re.Pattern) and isinstance(value.pattern, str):
                    found[f"{module}.{name}"] = value
    return found


@pytest.mark.slow
def test_no_pattern_is_kept_busy_by_a_long_text() -> None:
    known = patterns()
    assert len(known) > 30
    for name, pattern in known.items():
        for before in ("", "between ", "1"):
            for piece in PIECES:
                text = before + piece * (LENGTH // len(piece)) + "\x00"
                try:
                    with limited(0.5):
                        pattern.match(text)
                        pattern.fullmatch(text)
                        if name.split(".")[-1] in SEARCHED:
                            pattern.search(text)
                except HangError as error:
                    raise AssertionError(f"{name}: {before!r}, then {piece!r}") from error
