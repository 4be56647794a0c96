"""A calibration as an overlay file, which the verbs that load a rulebook take by --overlay."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import yaml

from advisor.cases.store import replace_file
from advisor.rulebook import system_reason
from advisor.rulebook.overlaymodels import FORMAT

from .calibrating import Calibration, Change, Column
from .counting import USUAL
from .errors import LearningError

HEAD = """\
# Rates from closed cases, proposed by `advisor calibrate`; the rulebook itself is unchanged.
# Take out what you don't believe, and use the rest by: advisor rank CASE --overlay THIS-FILE
"""


def overlay_text(calibration: Calibration) -> str:
    """The text of the overlay file: one line for each changed rate."""
    meta = calibration.rulebook.meta
    data: dict[str, Any] = {
        "format": FORMAT,
        "rulebook": {"id": meta.id, "version": _Quoted(meta.version)},
        "cases": calibration.cases,
        "strength": float(f"{calibration.strength:.6g}"),
    }
    if calibration.none_share is not None:
        data["none_of_the_listed"] = _change(calibration.none_share, calibration.cases)
    if calibration.commonness:
        data["commonness"] = {
            one.cause: _change(one.change, one.cases) for one in calibration.commonness
        }
    findings: dict[str, Any] = {}
    for column in calibration.columns:
        _add(findings.setdefault(column.finding, {}), column)
    if findings:
        data["findings"] = findings
    return HEAD + yaml.dump(
        data,
        Dumper=_Dumper,
        sort_keys=False,
        allow_unicode=True,
        default_flow_style=None,  # what holds no further mapping stands on one line
        width=10**6,
    )


def write_overlay(path: Path, calibration: Calibration) -> None:
    """Write the overlay as a new file; LearningError when there is one, or the disk refuses."""
    try:
        replace_file(path, overlay_text(calibration).encode("utf-8"), fresh=True)
    except FileExistsError as error:
        raise _there_already(path) from error
    except OSError as error:
        reason = system_reason(error)
        raise LearningError(f"{path} was not written: {reason}") from error


def refuse_existing(path: Path) -> None:
    """Raise LearningError when there is a file already: somebody may have worked on it."""
    if os.path.lexists(path):
        raise _there_already(path)


def _there_already(path: Path) -> LearningError:
    return LearningError(f"{path} is there already; name another file")


def _add(finding: dict[str, Any], column: Column) -> None:
    """Put a column's rates where the finding itself has them."""
    for name, change in column.changes.items():
        is_several = len(column.changes) > 1
        place = finding.setdefault("values", {}).setdefault(name, {}) if is_several else finding
        entry = _change(change, column.cases)
        if column.cause == USUAL:
            place["usual"] = entry
        else:
            place.setdefault("with", {})[column.cause] = entry


def _change(change: Change, cases: int) -> dict[str, Any]:
    return {
        "old": change.old,
        "new": change.new,
        "cases": cases,
        "low": change.low,
        "high": change.high,
    }


class _Quoted(str):
    """A text that could be taken for a number without quotes."""

    __slots__ = ()


class _Dumper(yaml.SafeDumper):
    pass


_Dumper.add_representer(
    _Quoted, lambda dumper, data: dumper.represent_scalar("tag:yaml.org,2002:str", str(data), '"')
)
