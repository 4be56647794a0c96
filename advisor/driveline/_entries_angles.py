"""Records of the functions about joints: angles, what they leave, how they bend the shafts."""

from __future__ import annotations

from typing import Final

from advisor.driveline import angles, chains, joints, phasing
from advisor.driveline._entry import Function, Parameter, entry, needed, optional

_PHASOR: Final = "square root of |sum of b^2 exp(2 j (fork - plane))| over the joints"
_BEND: Final = needed("joint_angle", "angle", "bend of the joint")
_SHAFT: Final = needed("shaft_frequency", "frequency", "turns of the shaft")
_TORQUE: Final = needed("torque", "torque", "torque through the joint, on the driving side")


def _slopes(count: int) -> tuple[Parameter, ...]:
    return tuple(
        needed(f"slope_{i}", "angle", f"slope of member {i} against level, front to rear")
        for i in range(1, count + 1)
    )


def _headings(count: int) -> tuple[Parameter, ...]:
    return tuple(
        optional(
            f"heading_{i}", "angle", f"direction of member {i} seen from above; 0 if not given"
        )
        for i in range(1, count + 1)
    )


def _fork_turns(sense: str) -> tuple[Parameter, ...]:
    return tuple(
        optional(
            f"fork_turn_{i}",
            "angle",
            f"turn of shaft {i}'s rear fork from its front one, {sense}, 90 deg when crossed; 0 "
            "if not given",
        )
        for i in range(1, 4)
    )


ANGLE_FUNCTIONS: Final[tuple[Function, ...]] = (
    entry(
        "joint-angle",
        angles.joint_angle,
        (*_slopes(2), *_headings(2)),
        result="angle",
        formula="atan2(|a x b|, a . b) of the members' directions a and b",
        source="geometry; handbook section 3 (D)",
    ),
    entry(
        "joint-angle-from-views",
        angles.joint_angle_from_views,
        (
            needed("side_view", "angle", "angle of the joint in a side-view drawing"),
            needed("plan_view", "angle", "angle of the joint in a plan-view drawing"),
        ),
        result="angle",
        formula="atan of the square root of tan^2 V + tan^2 H",
        source="geometry; handbook section 3, rule 4 (M, D)",
    ),
    entry(
        "joint-angle-from-centres",
        angles.joint_angle_from_centres,
        (
            needed("rearward", "length", "from the front to the rear joint centre, to the rear"),
            needed("sideways", "length", "the same, sideways, with sign"),
            needed("rise", "length", "the same, upwards, with sign"),
            needed("slope", "angle", "slope of the neighbouring member against level"),
            optional("heading", "angle", "its direction seen from above; 0 if not given"),
        ),
        result="angle",
        formula="atan2(|a x b|, a . b) of the line of centres a and the neighbour's direction b",
        source="geometry; handbook section 3, rules 1 and 2 (D)",
    ),
    entry(
        "centre-distance",
        angles.centre_distance,
        (
            needed("rearward", "length", "from the front to the rear joint centre, to the rear"),
            needed("sideways", "length", "the same, sideways"),
            needed("rise", "length", "the same, upwards"),
        ),
        result="length",
        formula="square root of the sum of squares",
        source="geometry; handbook section 3, CMP-08 (D)",
    ),
    entry(
        "residual-angle",
        phasing.residual_angle,
        (
            *_slopes(3),
            *_headings(3),
            optional("crossed", "yes-no", "the shaft's two forks stand at a right angle"),
        ),
        result="angle",
        formula=_PHASOR,
        source="after SAE AE-7, section 3.1.1; handbook section 2.2 (M for the signs, D)",
    ),
    entry(
        "residual-angle-two-piece",
        phasing.residual_angle_two_piece,
        (
            *_slopes(4),
            *_headings(4),
            optional("first_crossed", "yes-no", "the front shaft's forks stand at a right angle"),
            optional("second_crossed", "yes-no", "the rear shaft's forks stand at a right angle"),
        ),
        result="angle",
        formula=_PHASOR,
        source="after SAE AE-7, section 3.1.1; handbook section 2.2 (M for the signs, D)",
    ),
    entry(
        "residual-angle-of-joints",
        phasing.residual_angle_of_joints,
        (
            needed("joint_angle_1", "angle", "bend of the front joint"),
            needed("joint_angle_2", "angle", "bend of the rear joint"),
            optional(
                "plane_difference", "angle", "turn from the first joint's plane to the second's"
            ),
            optional("fork_twist", "angle", "turn of the rear fork away from the front one"),
            optional("crossed", "yes-no", "the shaft's two forks stand at a right angle"),
        ),
        result="angle",
        formula=_PHASOR,
        source="after SAE AE-7, section 3.1.1; handbook section 2.2 (M for the signs, D)",
    ),
    entry(
        "residual-angle-of-chain",
        chains.residual_angle_of_chain,
        (
            needed("joint_angle_1", "angle", "bend of the front joint"),
            *(
                optional(f"joint_angle_{i}", "angle", f"bend of joint {i}, counted from the front")
                for i in range(2, 5)
            ),
            *(
                optional(
                    f"plane_{i}",
                    "angle",
                    f"turn from the first joint's plane to that of joint {i}; 0 if not given",
                )
                for i in range(2, 5)
            ),
            *_fork_turns("in the sense of the planes"),
        ),
        result="angle",
        formula=_PHASOR,
        source="after SAE AE-7, section 3.1.1; handbook section 2.2 (M for the signs, D)",
    ),
    entry(
        "residual-angle-of-members",
        chains.residual_angle_of_members,
        (
            *_slopes(2),
            *(
                optional(f"slope_{i}", "angle", f"slope of member {i} against level")
                for i in range(3, 6)
            ),
            *_headings(5),
            *_fork_turns("clockwise from the front, headings to the right positive"),
        ),
        result="angle",
        formula=_PHASOR,
        source="after SAE AE-7, section 3.1.1; handbook sections 2.2 and 3 (M for the signs, D)",
    ),
    entry(
        "angle-difference",
        angles.angle_difference,
        (
            needed("joint_angle_1", "angle", "bend of one joint"),
            needed("joint_angle_2", "angle", "bend of the other joint"),
        ),
        result="angle",
        formula="|bend 1 - bend 2|",
        source="definition; limits in handbook section 2.5",
    ),
    entry(
        "torsional-acceleration",
        phasing.torsional_acceleration,
        (needed("residual_angle", "angle", "residual angle of the chain"), _SHAFT),
        result="angular-acceleration",
        formula="theta^2 omega^2",
        source="after SAE AE-7; handbook section 2.3 (M, D)",
    ),
    entry(
        "angle-for-acceleration",
        phasing.angle_for_acceleration,
        (
            needed(
                "acceleration", "angular-acceleration", "peak angular acceleration not to exceed"
            ),
            _SHAFT,
        ),
        result="angle",
        formula="square root of alpha, over omega",
        source="handbook section 2.5 (F for one table, D)",
    ),
    entry(
        "allowed-second-angle",
        phasing.allowed_second_angle,
        (
            needed("residual_angle", "angle", "residual angle not to exceed"),
            needed("joint_angle", "angle", "bend of the joint that stays as it is"),
        ),
        result="angle",
        formula="square root of theta^2 + b^2, forks aligned",
        source="handbook section 2.2, DL-15 (F for one table, D)",
    ),
    entry(
        "inertia-acceleration",
        joints.peak_acceleration,
        (_BEND, _SHAFT),
        result="angular-acceleration",
        formula="peak of omega^2 cos b sin^2 b sin 2p / (1 - sin^2 b cos^2 p)^2, about b^2 omega^2",
        source="handbook sections 1 and 2.4 (D)",
    ),
    entry(
        "speed-fluctuation",
        joints.fluctuation,
        (_BEND,),
        result="ratio",
        formula="sin b tan b",
        source="handbook section 1 (F)",
    ),
    entry(
        "angle-of-fluctuation",
        joints.angle_of_fluctuation,
        (needed("total_fluctuation", "ratio", "greatest less smallest speed ratio"),),
        result="angle",
        formula="root of 1 / cos b - cos b = U",
        source="handbook section 1 (D)",
    ),
    entry(
        "joint-lead",
        joints.lead,
        (_BEND,),
        result="angle",
        formula="atan((1 - cos b) / (2 sqrt(cos b)))",
        source="handbook section 1 (D)",
    ),
    entry(
        "driving-bending-moment",
        joints.driving_bending_moment,
        (_TORQUE, _BEND),
        result="torque",
        formula="T tan b",
        source="handbook section 4 (D)",
    ),
    entry(
        "driven-bending-moment",
        joints.driven_bending_moment,
        (_TORQUE, _BEND),
        result="torque",
        formula="T sin b",
        source="handbook section 4 (D)",
    ),
    entry(
        "smallest-driven-torque",
        joints.smallest_driven_torque,
        (_TORQUE, _BEND),
        result="torque",
        formula="T cos b, twice a turn",
        source="handbook section 4, MOM-04 (F)",
    ),
    entry(
        "greatest-driven-torque",
        joints.greatest_driven_torque,
        (_TORQUE, _BEND),
        result="torque",
        formula="T / cos b, twice a turn",
        source="handbook section 4, MOM-04 (F)",
    ),
    entry(
        "inertia-torque",
        joints.inertia_torque,
        (
            needed("mass", "mass", "mass of the part that turns"),
            needed("radius_of_gyration", "length", "its radius of gyration; of a tube, its radius"),
            needed("acceleration", "angular-acceleration", "how hard it is sped up"),
        ),
        result="torque",
        formula="m k^2 a",
        source="handbook sections 1 and 2.4, KIN-07 (M, D)",
    ),
    entry(
        "support-force",
        joints.support_force,
        (
            _TORQUE,
            _BEND,
            needed("support_distance", "length", "between the supports of the driving shaft"),
        ),
        result="force",
        formula="T tan b / (2 L), amplitude at 2x shaft",
        source="handbook section 4, MOM-05 (D)",
    ),
)
