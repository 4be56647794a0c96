"""The words of the verbs that compute one thing, without a case."""

from __future__ import annotations

from pathlib import Path

from .common import Verbs, add_json, add_settings, add_verb


def add_workshop_verbs(verbs: Verbs) -> None:
    """compute, orders, shims and trial-weights."""
    _add_compute(verbs)
    summary = "say which order a measured frequency follows"
    orders = add_verb(verbs, "orders", summary, with_rulebook=False)
    orders.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='measured="42.4 Hz" and the like; without any, what may be given',
    )
    summary = "choose the wedge and shims that bring the joint angles right"
    shims = add_verb(verbs, "shims", summary, with_rulebook=False)
    shims.add_argument("file", type=Path, help="the slopes and the parts at hand, as YAML")
    summary = "work out the mass to fit from runs with a trial mass"
    weights = add_verb(verbs, "trial-weights", summary, with_rulebook=False)
    weights.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='initial=4.0 trial_mass="10 g" and the like; without any, what may be given',
    )
    for verb in (orders, shims, weights):
        add_json(verb)


def _add_compute(verbs: Verbs) -> None:
    compute = add_verb(verbs, "compute", "compute one thing from numbers with units")
    compute.add_argument("name", nargs="?", help="the computation; without it they are listed")
    compute.add_argument(
        "inputs",
        nargs="*",
        metavar="INPUT=VALUE",
        help='span="80.1 mm", or with its standard uncertainty span="80.1 mm +/- 0.01 mm"',
    )
    compute.add_argument(
        "--gauge",
        action="append",
        default=[],
        metavar="INPUT=GAUGE",
        help="the gauge of the rulebook that an input was read with",
    )
    compute.add_argument(
        "--limit", help='judge the result: "0 mm to 0.05 mm", "below 3 deg", or published'
    )
    compute.add_argument(
        "--sweep",
        metavar="INPUT=FROM..TO",
        help='draw the result over an input: road_speed="20 mph..80 mph"; add /12 for 12 steps',
    )
    add_json(compute)
    add_settings(compute)
