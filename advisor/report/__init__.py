"""What a person or a program reads of a case: one assessment, as text or as JSON."""

from advisor.report.assessment import Assessment, assess
from advisor.report.display import Display
from advisor.report.ringcase import (
    RingReport,
    causes_with_rings,
    ring_report,
    ring_report_text,
)
from advisor.report.standing import standing_text
from advisor.report.text import assessment_text
from advisor.report.trail import TrailView, trail_of
from advisor.report.trailtext import trail_text
from advisor.report.wording import outcome_name

__all__ = [
    "Assessment",
    "Display",
    "RingReport",
    "TrailView",
    "assess",
    "assessment_text",
    "causes_with_rings",
    "outcome_name",
    "ring_report",
    "ring_report_text",
    "standing_text",
    "trail_of",
    "trail_text",
]
