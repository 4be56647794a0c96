"""What a person or a program reads of a case: one assessment, as text or as JSON."""

from advisor.report.assessment import Assessment, assess
from advisor.report.text import assessment_text
from advisor.report.trailtext import trail_text

__all__ = ["Assessment", "assess", "assessment_text", "trail_text"]
