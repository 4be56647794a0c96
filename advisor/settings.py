"""The user's settings: this shop's gauges, minutes, units, rings and cases, and who works."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final, Literal

from pydantic import Field

from advisor.rulebook import (
    Document,
    GaugeChange,
    Item,
    LoadError,
    Own,
    OwnMinutes,
    Problem,
    Rulebook,
    did_you_mean,
    read_record,
)
from advisor.rulebook.fields import MOST_MINUTES, Minutes, Model, Text, Texts
from advisor.stock import Stock, read_stock
from advisor.units import DIMENSIONS, Unit, UnitError, parse, units_of

FORMAT: Final = 1
VARIABLE: Final = "ADVISOR_SETTINGS"
USUAL_PLACE: Final = Path("driveline-advisor", "settings.yaml")


class MinutesModel(Model):
    """The shop's own minutes in place of those of the rulebook."""

    places: dict[str, Minutes] = Field(
        default={}, description="place of the rulebook: minutes that going there costs once"
    )
    tests: dict[str, Minutes] = Field(
        default={}, description="test of the rulebook: minutes it takes, without the way there"
    )
    escalation: float | None = Field(
        default=None,
        gt=0,
        le=MOST_MINUTES,
        description="minutes that handing the vehicle on costs",
    )


class SettingsModel(Model):
    """The whole settings file."""

    format: int = Field(description="number of the format that the program must understand: 1")
    gauges: dict[str, GaugeChange] = Field(
        default={}, description="gauge of the rulebook: the step and limit of the tool at hand"
    )
    without: Texts = Field(default=(), description="ids of gauges that this shop does not have")
    stock: Text | None = Field(
        default=None, description="path of the stock file, from the folder of this file"
    )
    library: Text | None = Field(
        default=None, description="path of the folder of cases, from the folder of this file"
    )
    units: dict[str, Text] = Field(
        default={},
        description="dimension: unit in which numbers are shown, unless the case says otherwise",
    )
    minutes: MinutesModel = Field(
        default_factory=MinutesModel, description="what places and tests take in this shop"
    )
    role: Literal["service-advisor", "technician", "trainer"] | None = Field(
        default=None, description="who works with the program, where --role does not say it"
    )


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user has set; `own` is for `advisor.rulebook.load`. None set: all empty."""

    own: Own = field(default_factory=Own)
    without: tuple[str, ...] = ()
    role: str | None = None
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

    def gauges_missing(self, rulebook: Rulebook) -> tuple[str, ...]:
        """The gauges that this shop does not have. Raises LoadError for one that is none."""
        assert self.document is not None or not self.without
        problems = [
            self.document.problem(
                ("without", place),
                "unknown-gauge",
                f'the rulebook has no gauge "{gauge}"',
                did_you_mean(gauge, rulebook.gauges),
            )
            for place, gauge in enumerate(self.without)
            if gauge not in rulebook.gauges and self.document is not None
        ]
        if problems:
            raise LoadError(problems)
        return self.without

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
    sections: dict[Literal["places", "tests"], dict[str, float]]
    sections = {"places": model.minutes.places, "tests": model.minutes.tests}
    minutes = tuple(
        OwnMinutes(section, name, one, document, ("minutes", section, name))
        for section, given in sections.items()
        for name, one in given.items()
    )
    own = Own(gauges, minutes, model.minutes.escalation, _units(document, model.units))
    return Settings(
        own,
        model.without,
        model.role,
        _from(path, model.stock),
        _from(path, model.library),
        document,
    )


def _from(path: Path, named: str | None) -> Path | None:
    """What the settings file at this path names."""
    return None if named is None else path.parent / _from_home(named)


def _units(document: Document, given: Mapping[str, str]) -> Mapping[str, Unit]:
    """The units by dimension. Raises LoadError with every problem found."""
    found: dict[str, Unit] = {}
    problems: list[Problem] = []
    for dimension, name in given.items():
        if dimension not in DIMENSIONS:
            message = f'"{dimension}" is no dimension of numbers'
            mark = document.position_of(("units", dimension), key=True)
            hint = did_you_mean(dimension, DIMENSIONS)
            problems.append(document.problem(mark, "unknown-field", message, hint))
            continue
        try:
            found[dimension] = parse(f"1 {name}", dimension).unit
        except UnitError:
            known = [unit.symbol for unit in units_of(dimension)]
            message = f'"{name}" is no unit of {dimension}'
            hint = did_you_mean(name, known) or f"write one of {', '.join(known)}"
            problems.append(document.problem(("units", dimension), "unknown-unit", message, hint))
    if problems:
        raise LoadError(problems)
    return found


def _from_home(text: str) -> Path:
    """The path, "~" being the user's home where there is one."""
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)
