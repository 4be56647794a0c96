"""The one complaint of this package; `str()` is the sentence to show."""

from __future__ import annotations


class LearningError(Exception):
    """Something about a folder of cases, or about who works on it, that a user can mend."""
