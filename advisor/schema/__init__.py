"""JSON Schemas of the files that people write, and of the JSON that the verbs print.

Those of files are for editors that complete and check YAML. They are
made from the models that guard those files, so that both say the same. A schema sees the form of
one file; what hangs on other records (ids, dimensions, sums) only the program can check.
"""

from __future__ import annotations

from .files import SCHEMAS, schema_path, schema_text, write_schemas
from .kinds import KINDS, FileKind
from .outputs import OUTPUTS

__all__ = [
    "KINDS",
    "OUTPUTS",
    "SCHEMAS",
    "FileKind",
    "schema_path",
    "schema_text",
    "write_schemas",
]
