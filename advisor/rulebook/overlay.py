"""Rates from confirmed cases in place of the author's, from a file beside the rulebook."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass

from .document import Document
from .overlaymodels import FORMAT, OverlayModel
from .recordfile import read_record

MAX_OVERLAY_BYTES = 4 * 1024 * 1024  # all rates of a large rulebook


@dataclass(frozen=True, slots=True)
class Overlay:
    """An overlay as read, its form checked but not whether it fits a rulebook."""

    document: Document
    model: OverlayModel

    @property
    def mark(self) -> str:
        """Eight digits that tell one overlay from another, from the text of its file."""
        return hashlib.sha256(self.document.text.encode("utf-8")).hexdigest()[:8]


def read_overlay(path: str | os.PathLike[str]) -> Overlay:
    """The overlay in this file. Raises LoadError with every problem of its form."""
    document, model = read_record(
        path, OverlayModel, "an overlay", FORMAT, max_bytes=MAX_OVERLAY_BYTES
    )
    return Overlay(document, model)
