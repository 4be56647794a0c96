"""An independent route: forks carried as vectors through every shaft, then differentiated by FFT.

No closed formula of the joint, no phasor and no joint plane is used. A cross holds its two arms at
a right angle, so the driven arm stands square to the driving arm and to the driven shaft.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def turned(vectors: Array, axis: Array, angle: float) -> Array:
    """Vectors turned about a unit axis, by the right-hand rule (Rodrigues)."""
    along = (vectors @ axis)[..., None] * axis
    result = vectors * np.cos(angle) + np.cross(axis, vectors) * np.sin(angle)
    return np.asarray(result + along * (1.0 - np.cos(angle)))


def square_to(axis: Array) -> Array:
    """Some unit vector at a right angle to the axis."""
    helper = np.eye(3)[np.argmin(np.abs(axis))]
    vector = np.cross(axis, helper)
    return np.asarray(vector / np.linalg.norm(vector))


def output_angle(
    directions: Sequence[Array],
    twists: Sequence[float],
    phase: Array,
    first_fork: Array | None = None,
) -> Array:
    """Turn in rad of the last shaft, while the first one turns by `phase`.

    `twists` says for each shaft between two joints how far its rear fork is turned away from its
    front fork. `first_fork` is where the first driving fork stands at phase 0.
    """
    axes = [np.asarray(d / np.linalg.norm(d)) for d in directions]
    start = square_to(axes[0]) if first_fork is None else first_fork
    arm = np.outer(np.cos(phase), start) + np.outer(np.sin(phase), np.cross(axes[0], start))
    for number, axis in enumerate(axes[1:]):
        arm = np.cross(axis, arm)
        arm /= np.linalg.norm(arm, axis=1)[:, None]
        if number < len(twists):
            arm = turned(arm, axis, twists[number])
    first = square_to(axes[-1])
    second = np.cross(axes[-1], first)
    return np.asarray(np.unwrap(np.arctan2(arm @ second, arm @ first)))


def derivative(turn: Array, phase: Array, order: int) -> Array:
    """A derivative of the turn with respect to the phase of one whole, even turn, by FFT."""
    periodic = turn - phase
    harmonics = np.fft.fftfreq(len(phase), 1.0 / len(phase))
    spectrum = np.fft.fft(periodic) * (1j * harmonics) ** order
    steady = 1.0 if order == 1 else 0.0
    return np.asarray(np.fft.ifft(spectrum).real + steady, dtype=np.float64)


def whole_turn(points: int = 2048) -> Array:
    """Even steps round one turn."""
    return np.linspace(0.0, 2.0 * np.pi, points, endpoint=False, dtype=np.float64)


def peak_acceleration(directions: Sequence[Array], twists: Sequence[float]) -> float:
    """Greatest angular acceleration of the last shaft over omega squared."""
    phase = whole_turn()
    turn = output_angle(directions, twists, phase)
    return float(np.max(np.abs(derivative(turn, phase, 2))))


def bent_chain(bends: Sequence[float], planes: Sequence[float]) -> list[Array]:
    """Directions of members whose joints bend by `bends`, each in its own plane.

    `planes` are angles round the shaft, counted without twist from member to member.
    """
    directions = [np.array([1.0, 0.0, 0.0])]
    normal = np.array([0.0, 0.0, 1.0])
    turned_by = 0.0
    for bend, plane in zip(bends, planes, strict=True):
        normal = turned(normal, directions[-1], plane - turned_by)
        turned_by = plane
        directions.append(turned(directions[-1], normal, bend))
    return directions
