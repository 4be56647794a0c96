"""Driveline diagnostic advisor: from a complaint to ranked causes, with the reasoning shown."""

__version__ = "0.1.0"
