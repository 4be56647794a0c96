"""The orders and what was found about them, as text or as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from advisor import units
from advisor.computing.errors import listed
from advisor.computing.forms import Form
from advisor.computing.orders import (
    FORM,
    TRANSFER_SHAFT,
    Found,
    Pair,
    find_orders,
    resolution_of,
    tolerance_of,
)
from advisor.computing.outcome import joined, warning_lines
from advisor.driveline.frequencies import Experiment
from advisor.driveline.rotation import NO_ORDER
from advisor.driveline.vibration import record_length
from advisor.report.wording import minutes, order_name, percent

SETTLED: Final = 0.95
"""From here on one order is taken as the one; as a condition is true, design section 4."""

LEAST_SHOWN: Final = 0.005
FORMULA: Final = (
    "wheel = v / circumference; shaft = wheel x axle ratio; "
    "engine = shaft x transfer ratio x gear ratio / (1 - slip); firing = cylinders / 2 x engine"
)
ROAD_CAUTION: Final = (
    "Check for loose parts before driving. The driver drives, an observer reads. Keep to the law."
)
CAUTION_OF: Final[Mapping[str, str]] = MappingProxyType(
    {
        "neutral-coast": "A coast in neutral: only where the law allows it, on an empty road, "
        "engine running, since steering and brakes need it.",
        "engine-at-standstill": "An engine held at speed at standstill: outdoors or with the "
        "exhaust drawn off, parking brake on, wheels chocked, neutral or Park, nobody in front of "
        "or behind the vehicle.",
    }
)
"""By experiment; handbook section 15 (F, P), and common practice, no source."""

_ENGINE_ALONE: Final = frozenset({"engine-at-standstill", "neutral-coast"})
_HZ: Final = units.unit_named("Hz")
_RPM: Final = units.unit_named("rpm")


@dataclass(frozen=True, slots=True)
class OrdersAnswer:
    """What the verb has to say."""

    found: Found

    def as_text(self, width: int) -> str:
        """For a person, not yet wrapped; `width` is that of the window."""
        found = self.found
        sections = (
            (f"orders: {FORM.gives}", f"formula: {FORMULA}"),
            found.filled.lines(),
            self._table_lines(),
            self._fit_lines(),
            self._caution_lines(),
            *(self._pair_lines(pair) for pair in found.pairs),
            warning_lines(found.warnings),
            (f"source: {FORM.source}",),
        )
        return joined(sections)

    def as_data(self) -> dict[str, Any]:
        """For a program; all frequencies in Hz.

        inputs: a list, each with name, typed, value, unit, si (null for a text).
        formula, source.
        orders: a list, each with order, hz, rpm.
        resolution_hz, tolerance (a share): as used.
        fits: empty without a measured frequency; else a list, the most probable first, with order
        ("none-of-these" among them, with null for hz), hz, probability.
        pairs: orders that fit nearly alike, each with first, second, wanted (names of inputs that
        would allow more experiments) and experiments, those that part them first, then the
        cheapest: name, minutes, first_hz, second_hz, separates, record_s.
        cautions, warnings: lists of sentences.
        """
        found = self.found
        return {
            "inputs": found.filled.data(),
            "formula": FORMULA,
            "source": FORM.source,
            "orders": [
                {"order": name, "hz": hz, "rpm": hz / _RPM.factor}
                for name, hz in found.orders.items()
            ],
            "resolution_hz": resolution_of(found.filled),
            "tolerance": tolerance_of(found.filled),
            "fits": [
                {"order": one.order, "hz": one.frequency_hz, "probability": one.probability}
                for one in found.shares
            ],
            "pairs": [_pair_data(pair) for pair in found.pairs],
            "cautions": list(self._cautions()),
            "warnings": list(found.warnings),
        }

    def _table_lines(self) -> Iterator[str]:
        """Aligned columns, which fit a window of 40."""
        rows = [
            (order_name(order), units.show(hz, _HZ), _whole_rpm(hz))
            for order, hz in self.found.orders.items()
        ]
        wide = [max(len(row[column]) for row in rows) for column in range(3)]
        yield "what turns at this road speed"
        for name, hz, rpm in rows:
            yield f"{name:<{wide[0]}}  {hz:>{wide[1]}}  {rpm:>{wide[2]}}"
        share = units.show(100.0 * tolerance_of(self.found.filled), units.unit_named("1"))
        yield f"each may be off by {share} % (tyre, wear, speed reading)"

    def _fit_lines(self) -> Iterator[str]:
        found = self.found
        measured = found.filled.quantities.get("measured")
        if measured is None:
            return
        resolution = resolution_of(found.filled)
        length = units.show(record_length(resolution), units.unit_named("s"))
        yield f"how probable, for {measured} (lines {units.show(resolution, _HZ)} apart: {length})"
        for one in found.shares:
            if one.probability >= LEAST_SHOWN:
                off = _off(one.frequency_hz, measured)
                yield f"- {order_name(one.order)}: {percent(one.probability)}{off}"
        yield self._verdict()

    def _verdict(self) -> str:
        best, pairs = self.found.shares[0], self.found.pairs
        if best.order == NO_ORDER:
            return (
                "result: it most likely follows none of these; look at what turns otherwise, such "
                "as a fan or a pump, and check the numbers put in"
            )
        if pairs:
            names = [order_name(best.order), *(order_name(pair.second) for pair in pairs)]
            return f"result: too close to call between {listed(names)}"
        if best.probability >= SETTLED:
            return f"result: {order_name(best.order)}"
        return f"result: {order_name(best.order)} fits best, but it may be something else"

    def _cautions(self) -> tuple[str, ...]:
        if not self.found.pairs:
            return ()
        names = {one.name for pair in self.found.pairs for one in pair.experiments if one.separates}
        return (ROAD_CAUTION, *(text for name, text in CAUTION_OF.items() if name in names))

    def _caution_lines(self) -> Iterator[str]:
        if self.found.pairs:
            yield "caution"
        for text in self._cautions():
            yield f"- {text}"

    def _pair_lines(self, pair: Pair) -> Iterator[str]:
        first, second = order_name(pair.first), order_name(pair.second)
        parting = [one for one in pair.experiments if one.separates]
        if parting:
            yield f"to tell {first} from {second}, the cheapest first"
        else:
            yield f"nothing that these numbers allow tells {first} from {second}"
        for one in parting:
            yield (
                f"- {self._doing(one)} ({minutes(one.minutes)}): "
                f"{first} {_then(one.first_hz)}, {second} {_then(one.second_hz)}"
            )
        if any(one.name in _ENGINE_ALONE for one in parting):
            yield (
                "an engine order may hide without load, so it counts when it is there; "
                "an open converter shifts it in any gear"
            )
        if TRANSFER_SHAFT in (pair.first, pair.second):
            yield (
                "drive the same road speed in high range: the "
                f"{order_name(TRANSFER_SHAFT)} then turns as fast as the shaft"
            )
        elif pair.wanted:
            yield f"more may be possible with {listed(pair.wanted, 'or')}"
        elif not parting and not pair.with_engine:
            yield (
                "they keep their ratio at every speed and in every gear; only another part tells "
                "them apart, such as another wheel, or the shaft turned on its flange"
            )

    def _doing(self, one: Experiment) -> str:
        filled, turning = self.found.filled, self.found.turning
        engine = units.show(turning.engine_hz or 0.0, _RPM)
        record = units.show(one.record_s, units.unit_named("s"))
        done = {
            "engine-at-standstill": f"hold the engine at {engine} at standstill",
            "gear-change": "drive the same road speed in the gear of ratio "
            f"{filled.quantities.get('other_gear_ratio')}",
            "neutral-coast": "coast in neutral through the same road speed, engine at "
            f"{filled.quantities.get('idle_speed')}",
            "longer-record": "hold the road speed and record longer",
        }
        return f"{done[one.name]}, record {record}"


def _whole_rpm(frequency_hz: float) -> str:
    return units.show(round(frequency_hz / _RPM.factor) * _RPM.factor, _RPM)


def _off(frequency_hz: float | None, measured: units.Quantity) -> str:
    if frequency_hz is None:
        return ""
    off = 100.0 * (measured.si / frequency_hz - 1.0)
    shown = units.show(frequency_hz, measured.unit)
    return f" ({shown}, off by {off + 0.0:+.1f} %)".replace("-0.0 %", "+0.0 %")


def _then(frequency_hz: float) -> str:
    return f"at {units.show(frequency_hz, _HZ)}" if frequency_hz else "gone"


def _pair_data(pair: Pair) -> dict[str, Any]:
    return {
        "first": pair.first,
        "second": pair.second,
        "wanted": list(pair.wanted),
        "experiments": [
            {
                "name": one.name,
                "minutes": one.minutes,
                "first_hz": one.first_hz,
                "second_hz": one.second_hz,
                "separates": one.separates,
                "record_s": one.record_s,
            }
            for one in pair.experiments
        ],
    }


def orders_answer(words: Sequence[str]) -> OrdersAnswer | Form:
    """What the verb answers to these words, without any what it takes. Raises ComputeError."""
    return OrdersAnswer(find_orders(words)) if words else FORM
