"""What the documents say of the program is so."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from advisor.cli import main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
TEST_COMMAND = re.compile(r"<!-- test command -->\n```sh\n(.*?)\n```\n", re.DOTALL)


def verbs(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The verbs that the help lists."""
    monkeypatch.setenv("COLUMNS", "100")
    with pytest.raises(SystemExit):
        main(["--help"])
    found = re.findall(r"^    ([a-z][a-z-]*)(?: |$)", capsys.readouterr().out, re.MULTILINE)
    assert {"ask", "rank", "why", "close", "check"} <= set(found)
    return found


def test_every_verb_is_mentioned(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    text = README + DEVELOPERS
    missing = [verb for verb in verbs(capsys, monkeypatch) if f"advisor {verb}" not in text]
    assert missing == []


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "rulebooks/README.md"])
def test_every_verb_that_a_document_runs_exists(
    document: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    commands = [block for language, block in BLOCK.findall(text) if language == "sh"]
    run = re.findall(r"(?:^|[ /])advisor ([a-z][a-z-]*)", "\n".join(commands))
    assert set(run) <= set(verbs(capsys, monkeypatch))


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md", "rulebooks/README.md"])
def test_files_of_its_commands_exist(document: str) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    commands = "\n".join(block for language, block in BLOCK.findall(text) if language == "sh")
    named = re.findall(r"(?<![\w./-])((?:\.ci|cases|tests|rulebooks|advisor)/[\w./-]*\w)", commands)
    missing = [name for name in named if not (ROOT / name).exists()]
    assert missing == []


@pytest.mark.parametrize(
    "document",
    [
        *("README.md", "DEVELOPERS.md"),
        *(f"rulebooks/{name}" for name in ("README.md", "fields.md", "problems.md")),
    ],
)
def test_its_links_lead_somewhere(document: str) -> None:
    path = ROOT / document
    links = re.findall(r"\]\(([^)#]+)[^)]*\)", path.read_text(encoding="utf-8"))
    inside = [link for link in links if "://" not in link]
    assert [link for link in inside if not (path.parent / link).exists()] == []


def test_readme_has_one_test_command_that_runs_the_tests() -> None:
    (command,) = TEST_COMMAND.findall(README)
    assert "'.[test]'" in command
    assert command.endswith("python -m pytest -q")


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash and sed")
def test_ci_runs_the_test_command_of_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    (extraction,) = re.findall(r"^test_command=\$\(.*\)$", script, re.MULTILINE)
    assert 'bash -euo pipefail -c "$test_command"' in script
    found = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", f'{extraction}; printf %s "$test_command"'],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert [found.stdout] == TEST_COMMAND.findall(README)


def test_packages_of_the_developers_map_exist_and_none_is_missing() -> None:
    named = set(re.findall(r"^\| `advisor/([\w.]+)` \|", DEVELOPERS, re.MULTILINE))
    there = {path.parent.name for path in (ROOT / "advisor").glob("*/__init__.py")} | {"cli.py"}
    assert named >= there
    assert all((ROOT / "advisor" / name).exists() for name in named)
