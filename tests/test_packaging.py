"""The wheel: whole, and enough by itself to rank a case from any folder."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[1]


def run(*words: str, folder: Path, packages: Path | None = None) -> str:
    """Standard output of a Python that finds `packages` before all others."""
    environment = {**os.environ, "PYTHONSAFEPATH": "1", "PYTHONIOENCODING": "utf-8"}
    if packages is not None:
        environment["PYTHONPATH"] = str(packages)
    done = subprocess.run(
        [sys.executable, *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built without the network by the builder of the `test` extra."""
    folder = tmp_path_factory.mktemp("wheel")
    offline = ("--no-deps", "--no-build-isolation", "--no-index", "--disable-pip-version-check")
    run("-m", "pip", "wheel", str(ROOT), *offline, "-w", str(folder), folder=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with nothing but the wheel installed."""
    folder = tmp_path_factory.mktemp("installed")
    alone = ("--no-deps", "--no-index", "--disable-pip-version-check", "--target")
    run("-m", "pip", "install", *alone, str(folder), str(wheel), folder=folder)
    return folder


def test_wheel_holds_the_code_the_rulebook_and_the_mark_of_types(wheel: Path) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    code = {str(path.relative_to(ROOT).as_posix()) for path in (ROOT / "advisor").rglob("*.py")}
    rulebook = {
        f"advisor/rulebooks/driveline/{path.name}"
        for path in (ROOT / "rulebooks" / "driveline").glob("*.yaml")
    }
    assert len(rulebook) > 5
    templates = {f"advisor/page/templates/{name}" for name in ("page.html", "page.css")}
    assert held >= code | rulebook | templates | {"advisor/py.typed"}


def test_wheel_holds_nothing_else(wheel: Path) -> None:
    tops = {name.split("/")[0] for name in zipfile.ZipFile(wheel).namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"advisor"}
    assert not [name for name in zipfile.ZipFile(wheel).namelist() if name.endswith(".pyc")]


def test_installed_program_finds_its_rulebook_from_any_folder(
    installed: Path, tmp_path: Path
) -> None:
    program = "import advisor.rulebook as r; print(r.__file__); print(r.shipped())"
    code, rulebook = run("-c", program, folder=tmp_path, packages=installed).splitlines()
    assert Path(code).is_relative_to(installed)
    assert Path(rulebook).is_relative_to(installed)


def test_installed_program_ranks_a_case_and_checks_its_rulebook(
    installed: Path, tmp_path: Path
) -> None:
    case = str(ROOT / "cases" / "pickup-shake.yaml")
    text = run("-m", "advisor", "rank", case, folder=tmp_path, packages=installed)
    assert text.startswith("case pickup-shake: rulebook driveline ")
    assert " 1. " in text
    assert run("-m", "advisor", "check", folder=tmp_path, packages=installed) == ""


def test_installed_command_runs_the_program(installed: Path, tmp_path: Path) -> None:
    program = (
        "import sys; from importlib.metadata import distribution as d\n"
        "(entry,) = d('driveline-advisor').entry_points.select(group='console_scripts')\n"
        "sys.argv = [entry.name, '--version']\n"
        "entry.load()()"
    )
    import advisor

    text = run("-c", program, folder=tmp_path, packages=installed)
    assert text == f"advisor {advisor.__version__}\n"
