"""One sinusoid: how far and how fast something moves, and how long to record it."""

from __future__ import annotations

import math

from advisor.driveline import _limits


def displacement_amplitude(acceleration_m_per_s2: float, frequency_hz: float) -> float:
    """Amplitude in m of the movement behind an acceleration amplitude (0 or more).

    Frequency above 0, else ValueError.
    Source: a / (2 pi f)^2; handbook section 13, NVH-01 (D).
    """
    turning = 2.0 * math.pi * _limits.turning("the frequency", frequency_hz)
    return velocity_amplitude(acceleration_m_per_s2, frequency_hz) / turning


def velocity_amplitude(acceleration_m_per_s2: float, frequency_hz: float) -> float:
    """Amplitude in m/s of the velocity behind an acceleration amplitude (0 or more).

    Frequency above 0, else ValueError.
    Source: a / (2 pi f); handbook section 13, NVH-02 (D).
    """
    acceleration = _limits.not_negative("the acceleration", acceleration_m_per_s2, 1.0, "m/s^2")
    return acceleration / (2.0 * math.pi * _limits.turning("the frequency", frequency_hz))


def record_length(resolution_hz: float) -> float:
    """Seconds to record so that lines this many Hz apart are told apart; above 0, else ValueError.

    Source: T = 1 / df; handbook section 9, ROT-14 (D).
    """
    return 1.0 / _limits.turning("the frequency resolution", resolution_hz)
