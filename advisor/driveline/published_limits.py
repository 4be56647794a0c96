"""Published limits by quantity, each with whose it is. They differ, and none is a law.

The service information of the vehicle's maker comes before all of them. Marks as in the handbook:
F found, R noted earlier, M from memory, D derived, P common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from advisor.driveline.joints import angle_of_fluctuation


@dataclass(frozen=True, slots=True)
class PublishedLimit:
    """One or two limits in SI units, whose they are in plain words, and the mark of the source."""

    lower: float | None
    upper: float | None
    whose: str
    mark: str

    @property
    def name(self) -> str:
        """Whose it is, with its mark."""
        return f"{self.whose} ({self.mark})"


FLUCTUATION: Final = 0.0027
"""Greatest residual non-uniformity; handbook section 2.5 (F)."""

_MEMORY: Final = "M, from memory"
_PRACTICE: Final = "M and P, from memory"
_NOTED: Final = "R, noted earlier"
_NOTES: Final = "cardan-shaft engineering notes, any speed"
_OFF_ROAD: Final = "an off-road vehicle's service manual, 2007"
_PAGE: Final = "an engineering reference page on installation angles"
_UNNAMED: Final = "a maker manual, model not identified"


def _most(upper: float, whose: str, mark: str = "F") -> PublishedLimit:
    return PublishedLimit(None, upper, whose, mark)


def _least(lower: float, whose: str, mark: str = "F") -> PublishedLimit:
    return PublishedLimit(lower, None, whose, mark)


def _between(lower: float, upper: float, whose: str, mark: str = "F") -> PublishedLimit:
    return PublishedLimit(lower, upper, whose, mark)


def _deg(degrees: float) -> float:
    return math.radians(degrees)


def _mm(millimetres: float) -> float:
    return millimetres / 1e3


PUBLISHED_LIMITS: Final[Mapping[str, tuple[PublishedLimit, ...]]] = MappingProxyType(
    {
        "torsional-acceleration": (
            _most(300.0, "SAE AE-7 and trade use, light vehicles", _MEMORY),
            _most(
                400.0,
                "an engineering reference page that cites SAE AE-7, section 3.1.1",
                "F, by decoding",
            ),
            _most(500.0, "trade use, heavy vehicles", _MEMORY),
        ),
        "inertia-acceleration": (_most(1000.0, "SAE AE-7, drive or coast", _MEMORY),),
        "residual-fluctuation": (_most(FLUCTUATION, f"{_NOTES}; of the residual angle"),),
        "residual-angle": (
            _most(
                angle_of_fluctuation(FLUCTUATION), f"{_NOTES}: fluctuation at most {FLUCTUATION}"
            ),
        ),
        "angle-difference": (
            _most(_deg(0.5), "an owner-club article, where cabin refinement matters", "F and P"),
            _most(_deg(1.0), _OFF_ROAD),
            _most(
                _deg(1.0), "a US Army truck manual, yokes at both ends parallel within it", _NOTED
            ),
            _most(_deg(1.5), f"{_PAGE}, with at most 6 deg a joint"),
        ),
        "largest-angle": (
            _most(_deg(0.5), "a light-truck service text, 1999: the unpaired joint of two pieces"),
            _most(_deg(1.5), f"{_OFF_ROAD}: a shaft with one joint, printed as less than"),
            _most(_deg(3.0), "a van body-builder manual, 2015: at rest, equal angles"),
            _most(_deg(3.0), f"{_OFF_ROAD}: at road speed, printed as less than"),
            _most(_deg(6.0), f"{_PAGE}, with a difference of at most 1.5 deg"),
            _most(
                _deg(10.0), f"{_OFF_ROAD}: only for a constant-velocity joint, printed as less than"
            ),
        ),
        "smallest-angle": (
            _least(_deg(0.5), "a van body-builder manual, 2015, so that needles roll"),
            _least(_deg(0.5), f"{_OFF_ROAD}, so that needles roll"),
            _least(_deg(1.0), "a troubleshooting list, so that needles roll"),
        ),
        "tube-runout": (
            _most(_mm(0.13), "heavy-duty practice: at the weld neck", _PRACTICE),
            _most(_mm(0.25), "heavy-duty practice: 75 mm from the welds", _PRACTICE),
            _most(_mm(0.38), "heavy-duty practice: middle", _PRACTICE),
            _most(_mm(0.3), f"{_UNNAMED}: front propeller shaft"),
            _most(_mm(0.4), "a sports car manual, 2008: every place"),
            _most(_mm(0.6), f"{_UNNAMED}: front half of two pieces"),
            _most(_mm(0.4), f"{_UNNAMED}: rear half of two pieces"),
            _most(_mm(0.4), f"{_UNNAMED}, a second one: either half of two pieces"),
            _most(_mm(0.5), f"{_UNNAMED}, a third one: front half of two pieces"),
            _most(_mm(0.6), f"{_UNNAMED}, a third one: rear half of two pieces"),
            _most(_mm(0.8), f"{_UNNAMED}, a fourth one: either half of two pieces"),
            _most(_mm(0.5), "a pick-up manual, 2021: middle, in service; 0.3 mm when new"),
            _most(_mm(0.6), "a car manual, 2006: against noise at high speed"),
            _most(_mm(0.8), "a car manual, 2022: middle of one section"),
            _most(_mm(1.0), "a car manual, 2022: middle of another section"),
            _most(_mm(0.8), "a pick-up bulletin, 1983: any place", _NOTED),
            _most(_mm(0.5), "general US practice, its strictest: front or rear", _PRACTICE),
            _most(_mm(0.8), "general US practice, its widest: front or rear", _PRACTICE),
            _most(_mm(0.4), "general US practice, its strictest: middle", _PRACTICE),
            _most(_mm(1.0), "general US practice, its widest: middle", _PRACTICE),
        ),
        "flange-runout": (
            _most(_mm(0.10), "a pick-up bulletin, 1983: face and pilot", _NOTED),
            _most(_mm(0.10), "a truck manual, 2004: face"),
            _most(_mm(0.13), "a truck manual, 2004: pilot"),
            _most(_mm(0.25), "a pick-up manual, 2007: read on an adaptor plate"),
        ),
        "end-play": (
            _most(_mm(0.0), "one maker manual: no play that can be measured"),
            _most(_mm(0.02), "a manual for cars of 1970 to 1987: cap to yoke"),
            _between(_mm(0.0), _mm(0.05), "a second maker manual: new rings, equally thick"),
            _most(_mm(0.05), "that second maker manual: in service"),
            _between(_mm(0.0), _mm(0.05), "common practice: some play, never preload", "P"),
        ),
        "spline-play": (
            _most(_mm(0.18), "a US Army fire-truck manual: slip joint, by dial gauge"),
            _most(_mm(0.3), "a pick-up manual, 2021; 0.073 mm to 0.156 mm when new"),
        ),
        "turning-effort": (
            _between(0.29, 0.98, "a car manual, 2008"),
            _between(0.3, 1.0, "a car manual, 2022"),
        ),
    }
)
"""Handbook sections 2.5, 7 and 8; strictest of a kind first where they bear on one thing."""

DIMENSION_OF: Final[Mapping[str, str]] = MappingProxyType(
    {
        "torsional-acceleration": "angular-acceleration",
        "inertia-acceleration": "angular-acceleration",
        "residual-fluctuation": "ratio",
        "residual-angle": "angle",
        "angle-difference": "angle",
        "largest-angle": "angle",
        "smallest-angle": "angle",
        "tube-runout": "length",
        "flange-runout": "length",
        "end-play": "length",
        "spline-play": "length",
        "turning-effort": "torque",
    }
)
"""The dimension of each quantity, by the names of units."""

_RESIDUAL: Final = ("residual-angle",)
_JOINT: Final = ("largest-angle", "smallest-angle")

QUANTITIES_OF: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "angle-difference": ("angle-difference",),
        "flange-share-of-runout": ("flange-runout",),
        "inertia-acceleration": ("inertia-acceleration",),
        "joint-angle": _JOINT,
        "joint-angle-from-centres": _JOINT,
        "joint-angle-from-views": _JOINT,
        "residual-angle": _RESIDUAL,
        "residual-angle-of-chain": _RESIDUAL,
        "residual-angle-of-joints": _RESIDUAL,
        "residual-angle-of-members": _RESIDUAL,
        "residual-angle-two-piece": _RESIDUAL,
        "ring-stack-end-play": ("end-play",),
        "shaft-share-of-runout": ("tube-runout",),
        "speed-fluctuation": ("residual-fluctuation",),
        "torsional-acceleration": ("torsional-acceleration",),
        "turning-effort": ("turning-effort",),
    }
)
"""By computation: the quantities that its result is an instance of."""
