"""The life of a case: concern, road test, cause and correction; its time line; the comeback."""

from .booking import Wanted, check_rings, settle, still_wanted, take_rings
from .closing import (
    ClosingError,
    ClosingWords,
    cautions_of_proof,
    close_case,
    proof_step,
    read_words,
    short_words,
    steps_of_proof,
    things_to_note,
)
from .concern import ASPECTS, Concern, concern_of, concern_questions
from .private import FIELDS as PRIVATE_FIELDS
from .private import Private, keep_private, private_path, read_private
from .reopenedview import ReopenedView, reopened_text, reopened_view
from .reopening import EVER_RIGHT, EverRight, Reopened, StillOpenError, reopen
from .statement import Statement, statement_of
from .statementtext import (
    cause_lines,
    concern_lines,
    correction_lines,
    hand_over_text,
    statement_text,
    verdict_text,
)
from .stockfile import StockError
from .timeline import Timeline, in_words, timeline_of, timeline_text
from .work import questions_of_proof

__all__ = [
    "ASPECTS",
    "EVER_RIGHT",
    "PRIVATE_FIELDS",
    "ClosingError",
    "ClosingWords",
    "Concern",
    "EverRight",
    "Private",
    "Reopened",
    "ReopenedView",
    "Statement",
    "StillOpenError",
    "StockError",
    "Timeline",
    "Wanted",
    "cause_lines",
    "cautions_of_proof",
    "check_rings",
    "close_case",
    "concern_lines",
    "concern_of",
    "concern_questions",
    "correction_lines",
    "hand_over_text",
    "in_words",
    "keep_private",
    "private_path",
    "proof_step",
    "questions_of_proof",
    "read_private",
    "read_words",
    "reopen",
    "reopened_text",
    "reopened_view",
    "settle",
    "short_words",
    "statement_of",
    "statement_text",
    "steps_of_proof",
    "still_wanted",
    "take_rings",
    "things_to_note",
    "timeline_of",
    "timeline_text",
    "verdict_text",
]
