"""A comparison as plain data for JSON."""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path
from typing import Any

from advisor.rulebook import Rulebook

from .comparison import Comparison, Moved, Reason
from .differences import Difference
from .moves import Stand
from .vehicles import Vehicle

FORMAT = 1  # of the JSON form; raised when a field changes its meaning or goes


def comparison_data(found: Comparison) -> dict[str, Any]:
    """Everything that was found; a weight that is not finite is null."""
    return {
        "format": FORMAT,
        "older": _book(*found.old),
        "newer": _book(*found.new),
        "threshold": found.wanted.threshold,
        "differences": [_difference(one) for one in found.differences],
        "compared": found.compared,
        "moved": [_moved(one) for one in found.moved],
        "not_compared": [
            {**_vehicle(one.vehicle), "rulebook": one.which, "reasons": list(one.reasons)}
            for one in found.left
        ],
    }


def _book(folder: Path, rulebook: Rulebook) -> dict[str, str]:
    return {"folder": str(folder), "id": rulebook.meta.id, "version": rulebook.meta.version}


def _difference(one: Difference) -> dict[str, Any]:
    places = {"before": one.before, "after": one.after}
    return {
        "section": one.section,
        "id": one.id,
        "details": list(one.details),
        "only_words": one.is_text,
        **{
            name: {"path": place.path, "line": place.line, "column": place.column}
            if place
            else None
            for name, place in places.items()
        },
    }


def _vehicle(vehicle: Vehicle) -> dict[str, Any]:
    return {"id": vehicle.id, "path": vehicle.path, "line": vehicle.line}


def _moved(one: Moved) -> dict[str, Any]:
    return {
        **_vehicle(one.vehicle),
        "right": sorted(one.move.right),
        "verdict": one.move.verdict,
        "leader_changed": one.move.leader_changed,
        "before": _stand(one.move.before),
        "after": _stand(one.move.after),
        "probabilities": [asdict(shift) for shift in one.move.shifts],
        "odds": list(one.odds) if one.odds else None,
        "reasons": [_reason(reason) for reason in one.reasons],
    }


def _stand(stand: Stand) -> dict[str, Any]:
    return {
        "leading": stand.leading,
        "leading_probability": stand.probability(stand.leading),
        "first": list(stand.first),
        "stops": list(stand.stops),
        "next": stand.next_test,
    }


def _reason(reason: Reason) -> dict[str, Any]:
    weight = reason.decibans
    return {
        "section": reason.section,
        "id": reason.id,
        "decibans": weight if weight is not None and math.isfinite(weight) else None,
        "by": [{"section": one.section, "id": one.id} for one in reason.by],
    }
