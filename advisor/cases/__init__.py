"""The case file: read strictly, written safely, opened together with its rulebook."""

from .casefile import FORMAT, CaseFile, Result, RulebookRef
from .closing import Closing, Comeback, Noted, ProofStep, RingUse
from .errors import (
    CaseError,
    CaseExistsError,
    CaseIdError,
    ChangedError,
    InUseError,
    NotOverwrittenError,
    WriteError,
)
from .lock import CaseLock
from .reading import read_case
from .records import LONGEST_ANSWER, LONGEST_NAME, Reading, Record, Repair
from .session import CaseSession, begin_case, new_case, open_case, replay
from .store import case_text, record_text, replace_file, write_case, write_record, write_whole

__all__ = [
    "FORMAT",
    "LONGEST_ANSWER",
    "LONGEST_NAME",
    "CaseError",
    "CaseExistsError",
    "CaseFile",
    "CaseIdError",
    "CaseLock",
    "CaseSession",
    "ChangedError",
    "Closing",
    "Comeback",
    "InUseError",
    "NotOverwrittenError",
    "Noted",
    "ProofStep",
    "Reading",
    "Record",
    "Repair",
    "Result",
    "RingUse",
    "RulebookRef",
    "WriteError",
    "begin_case",
    "case_text",
    "new_case",
    "open_case",
    "read_case",
    "record_text",
    "replace_file",
    "replay",
    "write_case",
    "write_record",
    "write_whole",
]
