"""Command lines whose words come by chance, each ended by NUL as the system ends them."""

from __future__ import annotations

import contextlib
import io
import sys
import tempfile
from functools import cache
from pathlib import Path
from unittest.mock import patch

from advisor import cli
from advisor.arguments import parser
from advisor.cases.store import case_text
from tests.fuzzing.books import OPEN_CASE, lasting_folder, shop_folder
from tests.library.making import LOOSE, UNBALANCED, made
from tests.life.book import write_stock

CLOSED_CASE = case_text(made("van", LOOSE, causes=["loose-joint"]))
# Verbs that read more from their words than names of files. Nobody answers what they ask.
VERBS = (
    *("close", "compute", "export", "find", "orders", "reopen", "schema", "similar"),
    *("trial-weights", "why"),
)


def command_line(data: bytes) -> None:
    """A command; every file and folder that it names is one of ours, so that no other is touched.

    What the program foresees is told to people; anything else is a finding.
    """
    words = data.decode("utf-8", "surrogateescape").split("\0")
    with (
        tempfile.TemporaryDirectory() as folder,
        contextlib.redirect_stdout(io.StringIO()),
        contextlib.redirect_stderr(io.StringIO()),
        patch.object(sys, "stdin", io.StringIO()),
        contextlib.suppress(SystemExit, *cli._foreseen()),
    ):
        options = parser().parse_args(words)
        if options.verb in VERBS:
            for name, path in _places(Path(folder), options.verb).items():
                if hasattr(options, name):
                    setattr(options, name, path)
            cli.VERBS[options.verb](options)


def _places(folder: Path, verb: str) -> dict[str, Path | None]:
    """What each word for a file or a folder stands for."""
    case = folder / "van.yaml"
    case.write_text(CLOSED_CASE if verb == "reopen" else OPEN_CASE, encoding="utf-8")
    library = _library()
    return {
        "case": case,
        "index": library / "index.sqlite",
        "library": library / "cases",
        "new": folder / "new.yaml",
        "output": folder / "output",
        "overlay": None,
        "rulebook": shop_folder(),
        "settings": library / "settings.yaml",
        "stock": write_stock(folder),
        "write": folder / "schemas",
    }


@cache
def _library() -> Path:
    """A folder with settings, cases and, later on, their index."""
    folder = lasting_folder()
    (folder / "settings.yaml").write_text("format: 1\n", encoding="utf-8")
    cases = folder / "cases"
    cases.mkdir()
    for case in (
        made("loose", LOOSE, vehicle="A pickup", causes=["loose-joint"]),
        made("shaking", UNBALANCED, complaint="Es zittert über 80 km/h"),
        made("none", {}, at=None, none=True),
    ):
        (cases / f"{case.id}.yaml").write_text(case_text(case), encoding="utf-8")
    return folder
