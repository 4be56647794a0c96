"""The user's settings: what this shop's gauges read, where its rings and its cases are."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from pydantic import Field

from advisor.rulebook import (
    Document,
    GaugeChange,
    Item,
    LoadError,
    Problem,
    Rulebook,
    read_record,
)
from advisor.rulebook.fields import Model, Text
from advisor.stock import Stock, read_stock

FORMAT: Final = 1
VARIABLE: Final = "ADVISOR_SETTINGS"
USUAL_PLACE: Final = Path("driveline-advisor", "settings.yaml")


class SettingsModel(Model):
    """The whole settings file."""

    format: int = Field(description="number of the format that the program must understand: 1")
    gauges: dict[str, GaugeChange] = Field(
        default={}, description="gauge of the rulebook: the step and limit of the tool at hand"
    )
    stock: Text | None = Field(
        default=None, description="path of the stock file, from the folder of this file"
    )
    library: Text | None = Field(
        default=None, description="path of the folder of cases, from the folder of this file"
    )


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user has set; `gauges` are for `advisor.rulebook.load`. None set: all empty."""

    gauges: tuple[Item[GaugeChange], ...] = ()
    stock: Path | None = None
    library: Path | None = None
    document: Document | None = None

    def read_stock(self, rulebook: Rulebook) -> Stock | None:
        """The stock that the settings name, or None. Raises LoadError."""
        if self.stock is None:
            return None
        try:
            return read_stock(self.stock, rulebook)
        except LoadError as error:
            raise LoadError(self._named_here(one) for one in error.problems) from error

    def _named_here(self, problem: Problem) -> Problem:
        """A file that cannot be read is a mistake in what names it as often as not."""
        if problem.code != "unreadable-file" or self.document is None:
            return problem
        where = self.document.related(("stock",), "the settings name it here")
        return replace(problem, related=(where,))


def find_settings(given: Path | None, environ: Mapping[str, str]) -> Settings:
    """The settings in the file given, else that of the environment, else in the usual place.

    Only in the usual place may the file be absent. Raises LoadError with every problem found.
    """
    if given is not None:
        return read_settings(given)
    if environ.get(VARIABLE):
        return read_settings(Path(environ[VARIABLE]))
    usual = usual_path(environ)
    with contextlib.suppress(OSError):  # a folder that nobody may look into holds no settings
        if usual is not None and usual.exists():
            return read_settings(usual)
    return Settings()


def usual_path(environ: Mapping[str, str]) -> Path | None:
    """Where settings usually are; None for a user without a home.

    Source: XDG Base Directory Specification 0.8: a relative path there is to be ignored.
    """
    folder = Path(environ.get("XDG_CONFIG_HOME", ""))
    if folder.is_absolute():
        return folder / USUAL_PLACE
    try:
        return Path.home() / ".config" / USUAL_PLACE
    except RuntimeError:
        return None


def read_settings(path: Path) -> Settings:
    """The settings in this file. Raises LoadError with every problem found."""
    document, model = read_record(path, SettingsModel, "the settings", FORMAT)
    gauges = tuple(
        Item("gauges", name, change, document, ("gauges", name))
        for name, change in model.gauges.items()
    )
    return Settings(gauges, _from(path, model.stock), _from(path, model.library), document)


def _from(path: Path, named: str | None) -> Path | None:
    """What the settings file at this path names."""
    return None if named is None else path.parent / _from_home(named)


def _from_home(text: str) -> Path:
    """The path, "~" being the user's home where there is one."""
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)
