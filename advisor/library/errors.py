"""What can go wrong with a library of cases."""

from __future__ import annotations


class LibraryError(Exception):
    """Something that a user can mend; `str(error)` is the sentence to show."""
