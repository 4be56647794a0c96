"""Records of the functions about parts: rings, runout, unbalance, tubes, gauges."""

from __future__ import annotations

from typing import Final

from advisor.driveline import balance, corrosion, fit, runout, shafts, uncertainty
from advisor.driveline._entry import Function, Parameter, entry, needed, optional

_SPAN: Final = needed("span", "length", "distance in the fork that holds width and rings")
_WIDTH: Final = needed("width", "length", "width over the caps pressed home")
_RING_1: Final = needed("ring_1", "length", "thickness of the first retaining ring")
_RING_2: Final = needed("ring_2", "length", "thickness of the second retaining ring")
_SHAFT: Final = needed("shaft_frequency", "frequency", "turns of the shaft")
_CRITICAL: Final = needed("critical_frequency", "frequency", "critical speed of the shaft")
_TUBE: Final = (
    needed("outside_diameter", "length", "outside diameter of the tube"),
    needed("wall", "length", "wall thickness of the tube"),
    needed("material", "choice", "material of the tube", options=("steel", "aluminium")),
)
_DERATING: Final = optional("derating", "ratio", "share of the critical speed; 0.7 if not given")
_RE_INDEX: Final = (
    needed("before", "length", "runout before the shaft is turned by 180 deg on its flange"),
    needed("after", "length", "runout after it"),
    needed("high_spot_turn", "angle", "how far the high spot moved on the shaft, 0 deg if not"),
)
_METALS: Final = tuple(corrosion.ANODIC_INDEX_V)
_VIBRATION_BEFORE: Final = (
    needed("vibration_before", "ratio", "vibration without trial mass, in any one unit"),
    needed("phase_before", "angle", "its phase"),
)
_VIBRATION_AFTER: Final = (
    needed("vibration_after", "ratio", "vibration with trial mass, in the same unit"),
    needed("phase_after", "angle", "its phase"),
)


def _ring(name: str, meaning: str) -> Parameter:
    return needed(name, "length", meaning)


PART_FUNCTIONS: Final[tuple[Function, ...]] = (
    entry(
        "ring-stack-end-play",
        fit.ring_stack_end_play,
        (_SPAN, _WIDTH, _RING_1, _RING_2),
        result="length",
        formula="span - width - ring 1 - ring 2; below zero is preload",
        source="handbook section 8, EP-01 (P, D)",
    ),
    entry(
        "ring-offset",
        fit.ring_offset,
        (_RING_1, _RING_2),
        result="length",
        formula="(ring 1 - ring 2) / 2, away from ring 1",
        source="handbook section 8, EP-02 (D)",
    ),
    entry(
        "largest-offset",
        fit.largest_offset,
        (_RING_1, _RING_2, needed("end_play", "length", "end play of the cross")),
        result="length",
        formula="|ring 1 - ring 2| / 2 + end play / 2",
        source="handbook section 8, EP-03 (D)",
    ),
    entry(
        "ring-stack-runout",
        fit.ring_stack_runout,
        (_RING_1, _RING_2, needed("end_play", "length", "end play of the cross")),
        result="length",
        formula="|ring 1 - ring 2| + end play, the largest TIR",
        source="handbook section 8, EP-03 (D)",
    ),
    entry(
        "two-axis-offset",
        fit.two_axis_offset,
        (
            needed("offset_1", "length", "offset in one fork of the joint"),
            needed("offset_2", "length", "offset in the other fork"),
        ),
        result="length",
        formula="square root of the sum of squares",
        source="handbook section 8, EP-06 (D)",
    ),
    entry(
        "equal-ring-thickness",
        fit.equal_ring_thickness,
        (
            _SPAN,
            _WIDTH,
            optional("target", "length", "end play wanted; 0.025 mm if not given"),
        ),
        result="length",
        formula="(span - width - target) / 2",
        source="handbook section 8, EP-04 (D; F for the limits 0 to 0.05 mm)",
    ),
    entry(
        "end-play-change",
        fit.end_play_change,
        (
            _ring("old_ring_1", "thickness of the first ring taken out"),
            _ring("old_ring_2", "thickness of the second ring taken out"),
            _ring("new_ring_1", "thickness of the first ring put in"),
            _ring("new_ring_2", "thickness of the second ring put in"),
            optional("old_width", "length", "width over the old caps"),
            optional("new_width", "length", "width over the new caps"),
        ),
        result="length",
        formula="sizes taken out - sizes put in",
        source="handbook section 8, EP-05 (D)",
    ),
    entry(
        "difference",
        fit.difference,
        (
            needed("first", "length", "a length"),
            needed("second", "length", "the length to take from it"),
        ),
        result="length",
        formula="first - second",
        source="definition",
    ),
    entry(
        "runout-from-offset",
        runout.runout_from_offset,
        (needed("offset", "length", "how far the round surface runs off centre"),),
        result="length",
        formula="2 x offset",
        source="handbook section 7, RUN-01 (D)",
    ),
    entry(
        "shaft-share-of-runout",
        runout.shaft_share_of_runout,
        _RE_INDEX,
        result="length",
        formula="|before + after| / 2 as vectors on the shaft",
        source="service bulletin 1983; handbook section 7, RUN-02 and RUN-03 (R, D)",
    ),
    entry(
        "flange-share-of-runout",
        runout.flange_share_of_runout,
        _RE_INDEX,
        result="length",
        formula="|before - after| / 2 as vectors on the shaft",
        source="service bulletin 1983; handbook section 7, RUN-02 and RUN-03 (R, D)",
    ),
    entry(
        "unbalance-from-mass",
        balance.unbalance_from_mass,
        (
            needed("mass", "mass", "mass out of place"),
            needed("radius", "length", "its distance from the axis"),
        ),
        result="unbalance",
        formula="m r",
        source="handbook section 6, UNB-12 (D)",
    ),
    entry(
        "unbalance-from-shift",
        balance.unbalance_from_shift,
        (
            needed("shaft_mass", "mass", "mass of the whole shaft"),
            needed("shift", "length", "how far one end runs off centre"),
        ),
        result="unbalance",
        formula="m / 2 x shift",
        source="handbook section 6, UNB-07 (D)",
    ),
    entry(
        "force-from-unbalance",
        balance.force_from_unbalance,
        (needed("unbalance", "unbalance", "unbalance of the shaft"), _SHAFT),
        result="force",
        formula="U omega^2",
        source="handbook section 6, UNB-01 (D)",
    ),
    entry(
        "permissible-unbalance",
        balance.permissible_unbalance,
        (
            needed("grade", "ratio", "balance grade: the number after the G, in mm/s"),
            needed("mass", "mass", "mass of the whole shaft"),
            _SHAFT,
        ),
        result="unbalance",
        formula="m G / omega",
        source="ISO 21940-11:2016; handbook section 6, UNB-05 (F for the grades)",
    ),
    entry(
        "unbalance-in-plane",
        balance.unbalance_in_plane,
        (
            needed("unbalance", "unbalance", "unbalance of the whole shaft, or the allowed one"),
            needed("distance", "length", "from the centre of mass to this plane"),
            needed("other_distance", "length", "from the centre of mass to the other plane"),
        ),
        result="unbalance",
        formula="U x other distance / (distance + other distance)",
        source="ISO 21940-11; handbook section 6, UNB-06 (M)",
    ),
    entry(
        "stored-energy",
        shafts.stored_energy,
        (
            needed("mass", "mass", "mass of the shaft"),
            needed("radius_of_gyration", "length", "its radius of gyration; of a tube, its radius"),
            _SHAFT,
        ),
        result="energy",
        formula="m k^2 omega^2 / 2",
        source="handbook section 15, SAF-02 (D)",
    ),
    entry(
        "spread-effect",
        balance.spread_effect,
        (needed("spread", "angle", "angle between two equal clamps"),),
        result="ratio",
        formula="2 cos(spread / 2), in clamps",
        source="two-clamp method; handbook section 6, UNB-09 (F)",
    ),
    entry(
        "spread-for-effect",
        balance.spread_for_effect,
        (needed("effect", "ratio", "effect wanted, in clamps, 0 to 2"),),
        result="angle",
        formula="2 acos(effect / 2)",
        source="two-clamp method; handbook section 6, UNB-10 (F, D)",
    ),
    entry(
        "correction-mass",
        balance.correction_mass,
        (
            *_VIBRATION_BEFORE,
            needed("trial_mass", "mass", "trial mass, to be taken off again"),
            *_VIBRATION_AFTER,
        ),
        result="mass",
        formula="|before / (after - before)| x trial mass, as vectors",
        source="one-plane influence coefficient; handbook section 6, UNB-11 (M)",
    ),
    entry(
        "correction-turn",
        balance.correction_turn,
        (*_VIBRATION_BEFORE, *_VIBRATION_AFTER),
        result="angle",
        formula="direction of -before / (after - before), from the trial mass",
        source="one-plane influence coefficient; handbook section 6, UNB-11 (M)",
    ),
    entry(
        "critical-speed",
        shafts.critical_speed,
        (needed("length", "length", "joint centre to joint centre"), *_TUBE),
        result="frequency",
        formula="pi / 8 x sqrt(E / rho) x sqrt(D^2 + d^2) / L^2, rigid pins: an upper bound",
        source="Euler-Bernoulli; handbook section 5, CS-04 (D)",
    ),
    entry(
        "longest-tube",
        shafts.longest_tube,
        (needed("top_frequency", "frequency", "top speed of the shaft"), *_TUBE, _DERATING),
        result="length",
        formula="the critical speed, times the derating, solved for the length",
        source="Euler-Bernoulli; handbook section 5, CS-10 (D; R for the derating)",
    ),
    entry(
        "advised-top-speed",
        shafts.advised_top_speed,
        (_CRITICAL, _DERATING),
        result="frequency",
        formula="derating x critical speed",
        source="a data sheet; handbook section 5, CS-08 (R)",
    ),
    entry(
        "half-critical-speed",
        shafts.half_critical_speed,
        (_CRITICAL,),
        result="frequency",
        formula="critical speed / 2, where 2x shaft meets the first bending shape",
        source="handbook section 5, CS-09 (M, P)",
    ),
    entry(
        "share-of-critical",
        shafts.share_of_critical,
        (_SHAFT, _CRITICAL),
        result="ratio",
        formula="shaft speed / critical speed",
        source="handbook section 5 (D)",
    ),
    entry(
        "acceptance-zone-width",
        uncertainty.acceptance_zone_width,
        (
            needed("lower", "length", "smallest size allowed"),
            needed("upper", "length", "greatest size allowed"),
            needed("expanded", "length", "expanded uncertainty of the reading"),
        ),
        result="length",
        formula="upper - lower - 2 U; below zero, nothing can be proved",
        source="ISO 14253-1; handbook section 12, UNC-08 (F for its scope, D)",
    ),
    entry(
        "within-anodic-limit",
        corrosion.within_anodic_limit,
        (
            needed("metal_1", "choice", "one metal", options=_METALS),
            needed("metal_2", "choice", "the metal that it touches", options=_METALS),
            needed(
                "environment", "choice", "where it runs", options=tuple(corrosion.ALLOWED_GAP_V)
            ),
        ),
        result="yes-no",
        formula="|index 1 - index 2| at most 0.15 V harsh, 0.25 V normal, 0.50 V controlled",
        source="anodic-index method; other methods are stricter on steel with aluminium; "
        "handbook section 11 (F for the limits, M for the metals)",
    ),
)
