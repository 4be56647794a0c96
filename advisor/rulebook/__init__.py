"""Reads a rulebook folder, checks it, and compiles it for the engine.

Errors: LoadError (problems of a file, each with its place) and AnswerError (a text that is no
answer to a question). Any other exception is a mistake of this program.
"""

from __future__ import annotations

from advisor.shipped import shipped

from .answerproblems import (
    bare_number,
    not_yes_or_no,
    unknown_question,
    unreadable_answer,
)
from .answers import AnswerError, read_answer
from .book import Rulebook
from .cachefolder import cache_folder
from .codes import CODES, LIKELY
from .collect import id_fault
from .datacache import DataCache, usual_cache
from .document import Document, Node, file_problem
from .draft import Item
from .facts import FactType
from .fields import read_rate
from .findingmodels import BandsFinding, ChoiceFinding, FindingModel, YesNoFinding
from .load import load
from .models import (
    CauseModel,
    CautionModel,
    ChoiceQuestion,
    ChoicesQuestion,
    ComputedModel,
    ConcernModel,
    GaugeChange,
    GaugeModel,
    MetaModel,
    NumberQuestion,
    PlaceModel,
    QuestionModel,
    RetiredModel,
    RingAxisModel,
    RingsModel,
    TestModel,
    TextQuestion,
    YesNoQuestion,
)
from .names import did_you_mean
from .ordinary import open_ordinary
from .overlay import Overlay, read_overlay
from .own import Own, OwnMinutes
from .problems import LoadError, Mark, Problem, Related, Severity, system_reason
from .recordfile import read_record
from .renaming import IN_CASE, IN_EXAMPLE, rename
from .spelling import better_spelling
from .successors import Retired, Successor
from .wording import problems_of
from .yamlfile import MAX_BYTES, parse_yaml, read_yaml

__all__ = [
    "CODES",
    "IN_CASE",
    "IN_EXAMPLE",
    "LIKELY",
    "MAX_BYTES",
    "AnswerError",
    "BandsFinding",
    "CauseModel",
    "CautionModel",
    "ChoiceFinding",
    "ChoiceQuestion",
    "ChoicesQuestion",
    "ComputedModel",
    "ConcernModel",
    "DataCache",
    "Document",
    "FactType",
    "FindingModel",
    "GaugeChange",
    "GaugeModel",
    "Item",
    "LoadError",
    "Mark",
    "MetaModel",
    "Node",
    "NumberQuestion",
    "Overlay",
    "Own",
    "OwnMinutes",
    "PlaceModel",
    "Problem",
    "QuestionModel",
    "Related",
    "Retired",
    "RetiredModel",
    "RingAxisModel",
    "RingsModel",
    "Rulebook",
    "Severity",
    "Successor",
    "TestModel",
    "TextQuestion",
    "YesNoFinding",
    "YesNoQuestion",
    "bare_number",
    "better_spelling",
    "cache_folder",
    "did_you_mean",
    "file_problem",
    "id_fault",
    "load",
    "not_yes_or_no",
    "open_ordinary",
    "parse_yaml",
    "problems_of",
    "read_answer",
    "read_overlay",
    "read_rate",
    "read_record",
    "read_yaml",
    "rename",
    "shipped",
    "system_reason",
    "unknown_question",
    "unreadable_answer",
    "usual_cache",
]
