"""The computations in the order of the work, each with what it gives, in a few words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

GROUPS: Final[Mapping[str, Mapping[str, str]]] = MappingProxyType(
    {
        "retaining rings and end play": {
            "ring-stack-end-play": "end play of the cross in its fork, from the sizes",
            "equal-ring-thickness": "thickness of two equal rings for the end play wanted",
            "end-play-change": "how much other rings or caps change the end play",
            "ring-offset": "how far unequal rings set the cross off the middle of its fork",
            "largest-offset": "farthest that rings and end play let the cross sit off",
            "ring-stack-runout": "greatest runout that rings and end play can cause",
            "two-axis-offset": "offset of the shaft's end from the offsets in both forks",
            "difference": "one length less another",
        },
        "joint angles": {
            "joint-angle": "bend of a joint from the slopes of the two members",
            "joint-angle-from-views": "bend of a joint from its side view and plan view",
            "joint-angle-from-centres": "bend of a joint from the places of the joint centres",
            "centre-distance": "length of a shaft from the places of its joint centres",
            "residual-angle": "what two joints leave, from three slopes",
            "residual-angle-two-piece": "what three joints leave, from four slopes",
            "residual-angle-of-joints": "what two joints leave, from their bends",
            "residual-angle-of-chain": "what one to four joints leave, from bends and planes",
            "residual-angle-of-members": "what one to four joints leave, from slopes",
            "angle-difference": "how much the bends of two joints differ",
            "torsional-acceleration": "peak angular acceleration that a residual angle causes",
            "angle-for-acceleration": "residual angle that causes a given acceleration",
            "allowed-second-angle": "greatest bend of the other joint for a residual angle",
            "inertia-acceleration": "peak angular acceleration of the shaft behind one joint",
            "speed-fluctuation": "greatest less smallest speed ratio of one joint",
            "angle-of-fluctuation": "bend of a joint that causes a given fluctuation",
            "joint-lead": "greatest lead of the driven over the driving shaft",
        },
        "loads and life of a joint": {
            "driving-bending-moment": "bending moment on the driving fork",
            "driven-bending-moment": "bending moment on the driven fork",
            "smallest-driven-torque": "least torque behind a joint in each turn",
            "greatest-driven-torque": "greatest torque behind a joint in each turn",
            "inertia-torque": "torque that an angular acceleration asks of a part",
            "support-force": "force on the supports from the moment of the joint",
            "needle-load": "load on the needles of one trunnion",
            "trunnion-travel": "how far a trunnion rocks in one turn of the shaft",
            "equivalent-turns": "turns of a bearing that count as much as the rocking",
            "joint-life": "life of a joint's bearings",
            "life-after-change": "life of a joint after a change, over that before",
            "relative-life": "life of a joint at another angle, speed and torque",
        },
        "feel and wear of a joint": {
            "turning-effort": "torque that swings a joint, by a spring scale",
            "trunnion-step": "step worn into a trunnion by its needles",
            "trunnion-looseness": "how far a cap can shift across a worn trunnion",
            "needle-pitch": "spacing of the needles, or of dents by them",
            "dent-spacing-ratio": "spacing of dents over that of the needles",
            "dents-fit-needles": "whether dents stand as far apart as the needles",
        },
        "shaft tubes": {
            "critical-speed": "critical speed of a tube between its joints",
            "longest-tube": "longest tube for a top speed",
            "advised-top-speed": "top speed to keep to below a critical speed",
            "half-critical-speed": "speed at which 2x shaft meets the critical speed",
            "share-of-critical": "shaft speed over critical speed",
            "stored-energy": "energy of a spinning shaft, to be gone before it is touched",
        },
        "runout and balance": {
            "runout-from-offset": "runout of a round surface that is off centre",
            "shaft-share-of-runout": "the shaft's share of the runout, turned on its flange",
            "flange-share-of-runout": "the flange's share of the runout, shaft turned on it",
            "unbalance-from-mass": "unbalance of a mass at a radius",
            "unbalance-from-shift": "unbalance of a shaft with one end off centre",
            "force-from-unbalance": "force of an unbalance at a speed",
            "permissible-unbalance": "unbalance that a balance grade permits",
            "unbalance-in-plane": "share of an unbalance for one of two planes",
            "spread-effect": "effect of two equal clamps that stand apart",
            "spread-for-effect": "angle between two equal clamps for an effect",
            "correction-mass": "mass that balances, from a run with a trial mass",
            "correction-turn": "where to put it, from a run with a trial mass",
        },
        "speeds and orders": {
            "tyre-diameter": "free diameter of a tyre from its size",
            "wheel-frequency": "turns of a wheel at a road speed",
            "road-speed": "road speed at which a wheel turns so often",
            "rolling-factor": "rolling over free circumference, from a measured road speed",
            "shaft-frequency": "turns of the propeller shaft from those of a wheel",
            "engine-frequency": "turns of the engine from those of the shaft",
            "firing-frequency": "firing frequency of a four-stroke engine",
            "frequency-at-speed": "frequency of a vibration at another road speed",
            "free-wheel-speed": "speed of the free wheel while the vehicle is lifted",
            "matching-order": "whose vibration it is, by its frequency",
        },
        "readings and materials": {
            "displacement-amplitude": "displacement of a vibration from its acceleration",
            "velocity-amplitude": "velocity of a vibration from its acceleration",
            "record-length": "how long to record to tell two frequencies apart",
            "acceptance-zone-width": "room between limits for readings that prove conformity",
            "within-anodic-limit": "whether two metals may touch without corroding",
        },
    }
)

MEANINGS: Final[Mapping[str, str]] = MappingProxyType(
    {name: meaning for group in GROUPS.values() for name, meaning in group.items()}
)
