"""Which retaining rings to fit, from what was measured and from the shop's own stock."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from advisor import units
from advisor.driveline.ringchoice import (
    THRESHOLD,
    AxisChoice,
    JointAxis,
    RingChoice,
    choose_rings,
)
from advisor.driveline.ringroom import RingsWanted, wanted_rings
from advisor.driveline.runout import runout_from_offset
from advisor.engine.diagnosis import Diagnosis
from advisor.engine.values import UNKNOWN, Number
from advisor.report.display import Display
from advisor.report.ringrooms import SIZES, AxisRoom, Way, axis_room
from advisor.report.ringviews import (
    CHOSEN,
    NO_STOCK,
    NOT_ENOUGH,
    NOT_MEASURED,
    ONE_AXIS_ONLY,
    ChosenAxis,
    OpenAxis,
    Ring,
    RingsView,
    Wanted,
    WantedAxis,
)
from advisor.rulebook import RingsModel, Rulebook
from advisor.stock import USUAL_M, Box, Stock, micrometer_u

CLOSEST_FROM = 0.05  # a choice less likely than this to be within limits is no help

Known = Sequence[tuple[int, Way]]  # the axes whose room is known, by number


def rings_view(
    rulebook: Rulebook,
    diagnosis: Diagnosis,
    display: Display,
    rings: RingsModel,
    stock: Stock | None,
) -> RingsView:
    """The rings that a cure asks for; None for `stock` gives the thickness wanted only."""
    return _Advice(rulebook, diagnosis, display, rings, stock).view()


class _Advice:
    def __init__(
        self,
        rulebook: Rulebook,
        diagnosis: Diagnosis,
        display: Display,
        rings: RingsModel,
        stock: Stock | None,
    ) -> None:
        self._rulebook = rulebook
        self._diagnosis = diagnosis
        self._display = display
        self._rings = rings
        self._stock = stock
        self._boxes: tuple[Box, ...] = stock.boxes if stock else ()
        self._limit = units.parse(rings.limit, "length")
        self._rooms = [
            axis_room(number, axis, diagnosis, self._limit.si)
            for number, axis in enumerate(rings.axes, 1)
        ]
        self._known: Known = [(one.number, one.way) for one in self._rooms if one.way is not None]

    def view(self) -> RingsView:
        """The whole advice."""
        if not self._known:
            return self._view(NOT_MEASURED)
        if self._stock is None:
            return self._view(NO_STOCK, wanted=self._known)
        whole = self._choice(self._known)
        if whole.sufficient:
            return self._view(CHOSEN, whole, self._known, remarks=whole.remarks)
        for one in self._known if len(self._known) > 1 else ():
            alone = self._choice([one])
            if alone.sufficient:
                others = [other for other in self._known if other is not one]
                return self._view(ONE_AXIS_ONLY, alone, [one], others, whole.remarks)
        closest = self._known if whole.probability >= CLOSEST_FROM else []
        return self._view(NOT_ENOUGH, whole, closest, self._known, whole.remarks)

    def _view(
        self,
        status: str,
        choice: RingChoice | None = None,
        filled: Known = (),
        wanted: Known = (),
        remarks: Sequence[str] = (),
    ) -> RingsView:
        """The advice with what was chosen for the axes `filled`; nothing when there are none."""
        axes = choice.axes if choice is not None and choice.axes and filled else ()
        off_centre = choice.offset_m if choice is not None and axes else None
        plays = math.hypot(*(max(0.0, axis.end_play_m) for axis in axes))
        return RingsView(
            status=status,
            stock=str(self._stock.path) if self._stock else None,
            limit=str(self._limit),
            chosen=tuple(self._chosen(filled, axes)) if axes else (),
            probability=choice.probability if choice is not None and axes else None,
            off_centre=None if off_centre is None else self._length(off_centre),
            runout=None if off_centre is None else self._length(runout_from_offset(off_centre)),
            runout_of_play=self._uncertainty(plays) if axes else None,
            wanted=tuple(self._wanted(number, way) for number, way in wanted),
            open=tuple(self._open(room) for room in self._rooms if room.way is None),
            remarks=(*remarks, *self._remarks()),
        )

    def _choice(self, known: Known) -> RingChoice:
        axes = [JointAxis(way.room, self._rings.style, self._material()) for _, way in known]
        return choose_rings(
            [box.rings for box in self._boxes],
            axes[0],
            axes[1] if len(axes) > 1 else None,
            units.parse(self._rings.largest_offset, "length").si,
            greatest_m=self._limit.si,
        )

    def _material(self) -> str:
        """What the fork is made of; steel, which takes any ring, when nobody knows."""
        fact = self._rings.material
        value = self._diagnosis.value(fact) if fact else UNKNOWN
        return value if isinstance(value, str) else "steel"

    def _chosen(self, filled: Known, axes: Sequence[AxisChoice]) -> list[ChosenAxis]:
        taken = Counter(index for axis in axes for index in (axis.ring_1, axis.ring_2))
        return [
            ChosenAxis(
                number,
                way.name,
                (self._ring(axis.ring_1, taken), self._ring(axis.ring_2, taken)),
                self._length(axis.end_play_m, axis.u_end_play_m),
                axis.end_play_m,
                axis.u_end_play_m,
                axis.probability,
                self._length(axis.offset_m),
                axis.offset_m,
            )
            for (number, way), axis in zip(filled, axes, strict=True)
        ]

    def _ring(self, index: int, taken: Counter[int]) -> Ring:
        box = self._boxes[index]
        left = box.rings.count - taken[index]
        return Ring(box.name, str(box.thickness), box.rings.thickness_m, left)

    def _wanted(self, number: int, way: Way) -> WantedAxis:
        u_ring = self._u_ring()
        # Each axis to the root of the threshold brings both together to it.
        wanted = wanted_rings(way.room, self._limit.si, math.sqrt(THRESHOLD), u_ring)
        thinnest, thickest = wanted.thinnest_m, wanted.thickest_m
        return WantedAxis(
            number,
            self._thickness(wanted.thickness_m),
            wanted.thickness_m,
            None if thinnest is None else self._thickness(thinnest),
            None if thickest is None else self._thickness(thickest),
            wanted.probability,
            self._settled_by(number, way, wanted, u_ring) if thinnest is None else None,
        )

    def _u_ring(self) -> float:
        """A ring to be got is taken to be measured by micrometer, else as the best in stock."""
        u = micrometer_u(self._rulebook)
        return min((box.rings.u_m for box in self._boxes), default=0.0) if u is None else u

    def _settled_by(self, number: int, way: Way, wanted: RingsWanted, u_ring: float) -> str:
        """What the end play must be known to, and which gauges read its parts so well."""
        left = wanted.largest_u_m**2 - 2.0 * u_ring**2
        if left <= 0.0:
            finest = self._uncertainty(wanted.largest_u_m / 2.0)
            return f"rings known to {finest} each (standard uncertainty)"
        if way.name != SIZES:
            return f"a room known to {self._uncertainty(math.sqrt(left))} (standard uncertainty)"
        each = math.sqrt(left / 2.0)
        gauges = self._rulebook.gauges_for(way.facts["span"])
        able = ", ".join(gauge.name for u, gauge in gauges if u <= each)
        play = self._rings.axes[number - 1].old_end_play
        return (
            f"span and width known to {self._uncertainty(each)} each (standard uncertainty)"
            + (f"; gauges so good: {able}" if able else "")
            + (f"; or an answer to: {self._rulebook.name_of(play)}" if play else "")
        )

    def _open(self, room: AxisRoom) -> OpenAxis:
        measure = tuple(Wanted(fact, self._rulebook.name_of(fact)) for fact in room.missing)
        return OpenAxis(room.number, measure, room.reason)

    def _remarks(self) -> list[str]:
        remarks = []
        material = self._rings.material
        if material and self._known and self._diagnosis.value(material) is UNKNOWN:
            asked = self._rulebook.name_of(material)
            remarks.append(
                f"Not known: {asked} It is taken for steel; aluminium takes coated rings only."
            )
        if len(self._rooms) == 1:
            remarks.append("The rulebook names one axis only; measure the other one too.")
        elif len(self._known) == 1:
            number = self._known[0][0]
            remarks.append(
                f"This is for axis {number} alone; both axes draw on one stock, "
                f"so measure axis {3 - number} too before fitting."
            )
        for room in self._rooms:
            if room.way and room.rival:
                remarks.append(self._disagreement(room.number, room.way, room.rival))
        for number, way in self._known:
            thickness = (way.room.room_m - self._limit.si / 2.0) / 2.0
            if not USUAL_M[0] <= thickness <= USUAL_M[1]:
                shown = self._thickness(thickness)
                remarks.append(f"Rings of {shown} are unusual; check what axis {number} measures.")
        return remarks

    def _disagreement(self, number: int, way: Way, rival: Way) -> str:
        rooms = [self._length(one.room.room_m, one.room.u_m) for one in (way, rival)]
        return (
            f"Two ways to know the room of axis {number} disagree: {way.name} leave {rooms[0]}, "
            f"{rival.name} {rooms[1]}. Check both before fitting."
        )

    def _length(self, si: float, u: float = 0.0) -> str:
        """A length in the unit in which the first known axis was measured."""
        return self._display.value(self._first_fact(), Number(si, u))

    def _uncertainty(self, u: float) -> str:
        return self._display.uncertainty(self._first_fact(), u)

    def _first_fact(self) -> str:
        return next(iter(self._known[0][1].facts.values()))

    def _thickness(self, si: float) -> str:
        """A thickness in the unit of the stock, else as the other lengths."""
        return units.show(si, self._boxes[0].thickness.unit) if self._boxes else self._length(si)
