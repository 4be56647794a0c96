"""Learning from closed cases: ranked again, and counted for better rates."""

from .calibratetext import calibration_data, calibration_text
from .calibrating import Calibration, Terms, calibrate
from .errors import LearningError
from .progress import ProgressBar
from .proposal import overlay_text, refuse_existing, write_overlay
from .replaying import Replay, replay_cases
from .replaytext import replay_text
from .source import Source
from .workers import Workers

__all__ = [
    "Calibration",
    "LearningError",
    "ProgressBar",
    "Replay",
    "Source",
    "Terms",
    "Workers",
    "calibrate",
    "calibration_data",
    "calibration_text",
    "overlay_text",
    "refuse_existing",
    "replay_cases",
    "replay_text",
    "write_overlay",
]
