"""The unit that a result is shown in: the one that was typed, else one that fits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from advisor import units
from advisor.driveline.catalog import Function

_METRIC_AND_INCH: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "length": ("mm", "in"),
        "time": ("s", "s"),
        "angle": ("deg", "deg"),
        "speed": ("km/h", "mph"),
        "frequency": ("Hz", "Hz"),
        "mass": ("g", "oz"),
        "torque": ("N*m", "lbf*ft"),
        "energy": ("J", "J"),
        "force": ("N", "lbf"),
        "acceleration": ("m/s^2", "m/s^2"),
        "angular-acceleration": ("rad/s^2", "rad/s^2"),
        "unbalance": ("g*mm", "oz*in"),
        "ratio": ("1", "1"),
        "count": ("count", "count"),
        "density": ("kg/m^3", "lb/in^3"),
        "pressure": ("MPa", "psi"),
    }
)
_CUSTOMARY: Final[Mapping[str, str]] = MappingProxyType(
    {"critical-speed": "rpm", "joint-life": "h", "velocity-amplitude": "m/s"}
)
"""Where one unit is what people say, whatever was typed in other dimensions."""

_INCH_UNITS: Final = frozenset(
    (
        *("in", "thou", "ft", "mi", "mph", "lb", "oz", "lbf", "lbf*ft", "lbf*in"),
        *("oz*in", "g*in", "lb/in^3", "psi", "ksi"),
    )
)
_OF_NO_SYSTEM: Final = frozenset({"angle", "time", "frequency", "ratio", "count"})


def result_unit(
    function: Function,
    typed: Sequence[units.Unit],
    shown_in: Mapping[str, units.Unit] = MappingProxyType({}),
) -> units.Unit | None:
    """The unit of the result, from the units typed; None for a result that is no number.

    Of the typed units of the result's dimension the commonest, and of equally common ones the
    first. With none: that of `shown_in` for the dimension, which is the user's own; without one,
    metric or inch, as most of what was typed.
    """
    if function.result not in _METRIC_AND_INCH:
        return None
    same = Counter(unit for unit in typed if unit.dimension == function.result)
    if same:
        return same.most_common(1)[0][0]
    if function.result in shown_in:
        return shown_in[function.result]
    if function.name in _CUSTOMARY:
        return units.unit_named(_CUSTOMARY[function.name])
    telling = [unit for unit in typed if unit.dimension not in _OF_NO_SYSTEM]
    inches = sum(unit.symbol in _INCH_UNITS for unit in telling)
    symbol = _METRIC_AND_INCH[function.result][2 * inches > len(telling)]
    return next(unit for unit in units.units_of(function.result) if unit.symbol == symbol)


def show_u(u_si: float, unit: units.Unit) -> str:
    """A standard uncertainty with at most two significant digits, as JCGM 100:2008, 7.2.6."""
    return units.show(0.0, unit, u_si).split(" +/- ")[-1]
