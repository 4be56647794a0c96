"""The library of cases: a folder of case files, searched, compared, counted and exported.

An index makes it quick; it is a cache, and the case files are the truth. Errors: LibraryError for
what a user can mend, LoadError for a rulebook that can't be read; a case that can't be read is
told beside the results.
"""

from __future__ import annotations

from .errors import LibraryError
from .export import export, write_export
from .figures import figures
from .library import Library, consult
from .place import index_path
from .search import Wanted, search
from .similar import similar
from .texts import figures_text, findings_text, similar_text, unreadable_lines
from .weighing import light_of

__all__ = [
    "Library",
    "LibraryError",
    "Wanted",
    "consult",
    "export",
    "figures",
    "figures_text",
    "findings_text",
    "index_path",
    "light_of",
    "search",
    "similar",
    "similar_text",
    "unreadable_lines",
    "write_export",
]
