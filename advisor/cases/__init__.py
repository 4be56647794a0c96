"""The case file: read strictly, written safely, opened together with its rulebook."""

from .casefile import FORMAT, CaseFile, Result, RulebookRef
from .closing import Closing, Comeback, Noted, ProofStep, RingUse
from .errors import CaseError, CaseExistsError, CaseIdError, InUseError, WriteError
from .lock import CaseLock
from .reading import read_case
from .records import LONGEST_ANSWER, Reading, Record, Repair
from .session import CaseSession, new_case, open_case, replay
from .store import case_text, replace_file, write_case, write_record, write_whole

__all__ = [
    "FORMAT",
    "LONGEST_ANSWER",
    "CaseError",
    "CaseExistsError",
    "CaseFile",
    "CaseIdError",
    "CaseLock",
    "CaseSession",
    "Closing",
    "Comeback",
    "InUseError",
    "Noted",
    "ProofStep",
    "Reading",
    "Record",
    "Repair",
    "Result",
    "RingUse",
    "RulebookRef",
    "WriteError",
    "case_text",
    "new_case",
    "open_case",
    "read_case",
    "replace_file",
    "replay",
    "write_case",
    "write_record",
    "write_whole",
]
