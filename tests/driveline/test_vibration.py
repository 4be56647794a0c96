"""One sinusoid, held against its own integrals."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driveline import vibration


def test_amplitudes_are_those_of_the_integrated_sinusoid() -> None:
    """Numerical integration of one period, twice. rel 1e-3."""
    acceleration, frequency = 0.1, 40.0
    time = np.linspace(0.0, 1.0 / frequency, 4001)
    trace = acceleration * np.sin(2.0 * math.pi * frequency * time)
    velocity = np.cumsum(trace) * time[1]
    velocity -= velocity[:-1].mean()
    displacement = np.cumsum(velocity) * time[1]
    ours = vibration.velocity_amplitude(acceleration, frequency)
    assert ours == pytest.approx(np.ptp(velocity) / 2.0, rel=1e-3)
    ours = vibration.displacement_amplitude(acceleration, frequency)
    assert ours == pytest.approx(np.ptp(displacement) / 2.0, rel=1e-3)


def test_impossible_values_are_refused() -> None:
    """No frequency, no amplitude below zero, no resolution of nothing."""
    with pytest.raises(ValueError, match=r"the frequency is 0 Hz"):
        vibration.displacement_amplitude(0.1, 0.0)
    with pytest.raises(ValueError, match=r"the acceleration is -0.1 m/s\^2"):
        vibration.velocity_amplitude(-0.1, 40.0)
    with pytest.raises(ValueError, match=r"the frequency resolution is 0 Hz"):
        vibration.record_length(0.0)
