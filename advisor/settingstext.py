"""The user's settings in words: what holds, and where each of it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from advisor.rulebook import Document
from advisor.settings import Settings

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes
# field of the file: what holds without it
USUAL: Final[Mapping[str, str]] = {
    "gauges": "as in the rulebook",
    "without": "every gauge of the rulebook is there",
    "stock": "none",
    "library": "the folder that one is in",
    "units": "as in the rulebook",
    "minutes": "as in the rulebook",
    "role": "technician",
}


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting; `path` and `line` say where it was read, None for what holds by itself."""

    name: str
    value: str
    path: str | None
    line: int | None


@dataclass(frozen=True, slots=True)
class SettingsView:
    """All settings, in the order of the file's fields; `file` is None when there is none."""

    format: int
    file: str | None
    settings: tuple[Setting, ...]

    def as_data(self) -> dict[str, Any]:
        """The settings as plain data for JSON."""
        return asdict(self)


def settings_view(settings: Settings) -> SettingsView:
    """What holds: what the file says, else what is usual."""
    document = settings.document
    found = {} if document is None else document.data
    rows: list[Setting] = []
    for name, usual in USUAL.items():
        if document is not None and found.get(name):
            rows += _rows(document, (name,), found[name])
        else:
            rows.append(Setting(name, usual, None, None))
    return SettingsView(FORMAT, document.path if document else None, tuple(rows))


def _rows(document: Document, loc: tuple[str, ...], value: Any) -> Iterator[Setting]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _rows(document, (*loc, key), inner)
        return
    shown = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    line = document.position_of(loc, key=True).line
    yield Setting(" ".join(loc), shown, document.path, line)


def settings_text(view: SettingsView, place: str | None) -> str:
    """The settings, a line each; `place` is where a file would be read by itself."""
    where = f"the settings file: {view.file}"
    if view.file is None:
        where = f"there is no settings file{f'; it would be {place}' if place else ''}"
    lines = (
        f"- {one.name}: {one.value}" + (f" (line {one.line})" if one.line else " (usual)")
        for one in view.settings
    )
    return "\n".join((where, *lines))
