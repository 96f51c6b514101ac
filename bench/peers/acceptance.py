"""How much light a tube passes, against the slope off its axis."""

from __future__ import annotations

import numpy as np
from scipy import integrate


class Acceptance:
    """A round acceptance: transmission against slope, 1 on the axis.

    Mix of the absorbing tube's overlap of two circles and of a wide tail,
    which stands for light reflected by a glossy wall. A slope is the tangent
    of the angle off the axis.
    """

    def __init__(self, bore_over_length: float, tail_share: float,
                 tail_deg: float, tail_shape: str):
        """tail_deg is the tail's full width at half maximum."""
        half = np.tan(np.radians(tail_deg / 2))
        self._slopes = np.linspace(0, max(1.1 * bore_over_length, 9 * half), 6001)
        shift = np.minimum(self._slopes / bore_over_length, 1)
        core = 2 / np.pi * (np.arccos(shift) - shift * np.sqrt(1 - shift**2))
        if tail_shape == "gaussian":
            tail = np.exp(-np.log(2) * (self._slopes / half) ** 2)
        elif tail_shape == "exponential":
            # exp(1 - sqrt(1 + x^2)): round on the axis, exponential far out.
            scale = half / np.sqrt((1 + np.log(2)) ** 2 - 1)
            tail = np.exp(1 - np.sqrt(1 + (self._slopes / scale) ** 2))
        else:
            raise ValueError(f"tail_shape: gaussian or exponential, got {tail_shape!r}")
        self._core = (1 - tail_share) * core
        self._values = (1 - tail_share) * core + tail_share * tail
        self._values[-1] = 0.0

    def __call__(self, slopes: np.ndarray) -> np.ndarray:
        """Transmission at these slopes off the axis (any shape, >= 0)."""
        return np.interp(slopes, self._slopes, self._values, right=0.0)

    def direct(self, slopes: np.ndarray) -> np.ndarray:
        """The part of the transmission that meets no wall."""
        return np.interp(slopes, self._slopes, self._core, right=0.0)

    @property
    def solid_angle(self) -> float:
        """Integral over both slopes."""
        return float(2 * np.pi * integrate.trapezoid(self._slopes * self._values, self._slopes))

    @property
    def reach(self) -> float:
        """Slope beyond which nothing passes."""
        return float(self._slopes[-1])


def parts_width_deg(acceptance: Acceptance, width: float, shifts: np.ndarray,
                    weights: np.ndarray) -> float:
    """Full width at half maximum of a sum of shifted acceptances, in degrees.

    shifts (K) are slopes along one line, weights (K) add up to 1. The width
    is that of the circle with the area in which the sum is above half its
    maximum, so it is the usual one where the acceptance is round.
    """
    reach = 0.05 * width
    while acceptance(np.array(reach / width)) > 0.1:
        reach *= 1.3
    reach += np.ptp(shifts)
    axis = np.linspace(-reach, reach, 401)
    x, y = np.meshgrid(axis + weights @ shifts, axis)
    total = sum(w * acceptance(np.hypot(x - s, y) / width)
                for s, w in zip(shifts, weights))
    # Sub-cell area of the level set: a linear ramp of one step's width.
    grad = np.hypot(*np.gradient(total, axis, axis)) + 1e-12
    step = axis[1] - axis[0]
    inside = np.clip(0.5 + (total - total.max() / 2) / (grad * step), 0, 1)
    area = inside.sum() * step**2
    return float(2 * np.degrees(np.arctan(np.sqrt(area / np.pi))))
