"""Records of the functions about one joint: needles and their life, effort, wear, dents."""

from __future__ import annotations

import math
from typing import Final

from advisor.driveline import bearings, inspection
from advisor.driveline._entry import Function, Note, entry, needed, optional
from advisor.driveline.published_limits import PUBLISHED_LIMITS

_BEND: Final = needed("joint_angle", "angle", "bend of the joint")
_SHAFT: Final = needed("shaft_frequency", "frequency", "turns of the shaft")
_TORQUE: Final = needed("torque", "torque", "torque through the joint, on the driving side")
_UNWORN: Final = needed("unworn_diameter", "length", "trunnion at the unworn edge by the seal")
_WORN: Final = needed("worn_diameter", "length", "trunnion in the track of the needles")
_DENTS: Final = needed("dent_spacing", "length", "spacing of the dents, along the round surface")
_CIRCLE: Final = (
    needed(
        "circle_diameter",
        "length",
        "the circle on which it is counted: the needle centres for their pitch, the trunnion for "
        "dents on it, the bore of the cap for dents in it",
    ),
    needed("needles", "count", "number of needles in one cap"),
)
_LAW_FAILS: Final = Note(
    "life as 1 / angle is a simple law that fails at both ends: near 0 deg it promises too much, "
    "and a large angle with speed can gall the trunnion ends (handbook section 10, D; F for the "
    "galling)"
)

_EFFORTS: Final = " and ".join(
    f"{limit.lower:g} N*m to {limit.upper:g} N*m, {limit.name}"
    for limit in PUBLISHED_LIMITS["turning-effort"]
)


def _life_notes(*names: str) -> tuple[Note, ...]:
    """Where the law of life fails, for each of these joint angles."""
    found = [_LAW_FAILS]
    for name in names:
        found += (
            Note(
                f"{name} is below 5 deg: under about 3 deg to 5 deg needles can fret where the "
                "grease film is poor, so count on less life than the law gives (general bearing "
                "text, handbook section 10, F for 5 deg)",
                name,
                math.radians(5.0),
            ),
            Note(
                f"{name} is below 1 deg: a joint near 0 deg never rolls its needles, and torque "
                "pulses fret one line; 0.5 deg at least, others say 1 deg (two maker manuals, a "
                "troubleshooting list, handbook sections 2.5 and 10, F)",
                name,
                math.radians(1.0),
            ),
        )
    return tuple(found)


JOINT_FUNCTIONS: Final[tuple[Function, ...]] = (
    entry(
        "needle-load",
        bearings.needle_load,
        (
            _TORQUE,
            needed("trunnion_radius", "length", "joint centre to mid needles"),
            _BEND,
        ),
        result="force",
        formula="T / (2 R cos b)",
        source="handbook section 10, BRG-07 (M)",
    ),
    entry(
        "trunnion-travel",
        bearings.trunnion_travel,
        (_BEND,),
        result="angle",
        formula="4 b in one turn of the shaft",
        source="handbook section 10, BRG-05 (D)",
    ),
    entry(
        "equivalent-turns",
        bearings.equivalent_turns,
        (_BEND,),
        result="ratio",
        formula="4 b / 360 deg, turns of the bearing for one of the shaft",
        source="handbook section 10 (F for the general form, M and D for the joint)",
        notes=_life_notes("joint_angle"),
    ),
    entry(
        "joint-life",
        bearings.joint_life,
        (
            needed("load_ratio", "ratio", "dynamic load rating over load of one trunnion"),
            _BEND,
            _SHAFT,
            optional("reliability", "ratio", "share of joints that last so long; 0.9 if not given"),
        ),
        result="time",
        formula="(C / P)^(10/3) million turns x (2 pi / 4 b) / shaft frequency",
        source="ISO 281; handbook section 10, BRG-04 (F for the law, M and D for the joint)",
        notes=_life_notes("joint_angle"),
    ),
    entry(
        "life-after-change",
        bearings.life_after_change,
        (
            needed("old_angle", "angle", "bend of the joint before"),
            needed("new_angle", "angle", "bend of the joint now"),
            optional("torque_factor", "ratio", "torque now over torque before; 1 if not given"),
        ),
        result="ratio",
        formula="old angle / new angle x torque factor^(-10/3)",
        source="ISO 281; handbook section 10, BRG-02 and BRG-06 (F for the law, D)",
        notes=_life_notes("old_angle", "new_angle"),
    ),
    entry(
        "relative-life",
        bearings.relative_life,
        (
            needed("old_angle", "angle", "bend of the joint in the old conditions"),
            needed("new_angle", "angle", "bend of the joint in the new ones"),
            needed("old_frequency", "frequency", "turns of the shaft in the old conditions"),
            needed("new_frequency", "frequency", "turns of the shaft in the new ones"),
            needed("old_torque", "torque", "torque in the old conditions"),
            needed("new_torque", "torque", "torque in the new ones"),
        ),
        result="ratio",
        formula="old / new of angle x speed x torque^(10/3)",
        source="ISO 281; handbook section 10 (F for the law, M and D for the joint)",
        notes=_life_notes("old_angle", "new_angle"),
    ),
    entry(
        "turning-effort",
        inspection.turning_effort,
        (
            needed("pull", "force", "reading of the spring scale while the joint swings"),
            needed("lever_arm", "length", "joint centre to where the scale pulls"),
            optional("pull_angle", "angle", "between arm and pull; 90 deg if not given"),
        ),
        result="torque",
        formula="pull x lever arm x sin(pull angle)",
        source="statics; limits in handbook section 8, EP-08 (D; F for the limits)",
        notes=(
            Note(f"no law: published are {_EFFORTS}; the maker's service information comes first"),
        ),
    ),
    entry(
        "trunnion-step",
        inspection.trunnion_step,
        (_UNWORN, _WORN),
        result="length",
        formula="(unworn - worn) / 2, depth on one side; below zero the readings show no wear",
        source="geometry; handbook section 10 for the damage (D; F and M for the damage)",
    ),
    entry(
        "trunnion-looseness",
        inspection.trunnion_looseness,
        (
            _UNWORN,
            _WORN,
            optional(
                "new_clearance", "length", "shift of the cap when new, stop to stop; 0 if not given"
            ),
        ),
        result="length",
        formula="unworn - worn + clearance when new: shift of the cap across it, stop to stop",
        source="geometry; handbook section 10 for the damage (D; F and M for the damage)",
    ),
    entry(
        "needle-pitch",
        inspection.needle_pitch,
        _CIRCLE,
        result="length",
        formula="pi x diameter of the circle / needles",
        source="geometry (D)",
    ),
    entry(
        "dent-spacing-ratio",
        inspection.dent_spacing_ratio,
        (_DENTS, *_CIRCLE),
        result="ratio",
        formula="spacing of the dents / (pi x diameter of the circle / needles)",
        source="dents at needle pitch: ISO 15243:2017, handbook section 10 (F for the sign, D)",
        notes=(
            Note(
                "near 1 the dents stand at needle pitch, as both true and false brinelling do: "
                "raised rims and kept finish tell true, rust-brown powder and no rim false (ISO "
                "15243:2017, handbook section 10, F)"
            ),
        ),
    ),
    entry(
        "dents-fit-needles",
        inspection.dents_fit_needles,
        (_DENTS, needed("spacing_u", "length", "standard uncertainty of that spacing"), *_CIRCLE),
        result="choice",
        options=inspection.DENT_ANSWERS,
        formula="whether |spacing - needle pitch| is at most 2 x its standard uncertainty",
        source="JCGM 100:2008; handbook sections 10 and 12 (F for the sign, D)",
    ),
)
