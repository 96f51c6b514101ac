"""How much light a tube passes, against the slope off its axis."""

from __future__ import annotations

import copy

import numpy as np
from scipy import integrate

PARTS = 5
"""Shifted copies of the acceptance that make up a bowed tube's."""


class Acceptance:
    """A round acceptance: transmission against slope, 1 on the axis of a far lamp.

    Mix of the absorbing tube's overlap of two circles and of a wide tail,
    which stands for light reflected by a glossy wall. A slope is the tangent
    of the angle off the axis.

    A near lamp's beam diverges: it casts the front opening on the back one
    magnified. What then misses the back opening meets the wall at grazing
    angles, and a wall as glossy as the tail says sends that share of it out:
    a black tube sees a near lamp wider and dimmer, a glossy one as a far lamp.
    """

    def __init__(self, bore_over_length: float, tail_share: float,
                 tail_deg: float, tail_shape: str):
        """tail_deg is the tail's full width at half maximum."""
        half = np.tan(np.radians(tail_deg / 2))
        self._bore_over_length, self._gloss = bore_over_length, tail_share
        self._slopes = np.linspace(0, max(1.1 * bore_over_length, 9 * half), 6001)
        core = opening_overlap(self._slopes / bore_over_length, 0.0)
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

    def near(self, length_over_distance: float) -> "Acceptance":
        """The acceptance for a lamp at this distance, as a share of the light
        that enters; slopes are those at the front opening."""
        if length_over_distance < 0:
            raise ValueError(f"length_over_distance: 0 or more, got {length_over_distance}")
        other = copy.copy(self)
        beam = opening_overlap(self._slopes / self._bore_over_length, length_over_distance)
        other._core = (1 - self._gloss) * beam
        other._values = self._values + (1 - self._gloss) * (other._core - self._core)
        other._values[-1] = 0.0
        return other

    @property
    def solid_angle(self) -> float:
        """Integral over both slopes."""
        return float(2 * np.pi * integrate.trapezoid(self._slopes * self._values, self._slopes))

    @property
    def reach(self) -> float:
        """Slope beyond which nothing passes."""
        return float(self._slopes[-1])


def opening_overlap(shift: np.ndarray, divergence: float) -> np.ndarray:
    """Share of a beam through the front opening that also passes the back one.

    shift: distance of the two openings' middles as the lamp casts them, in
    bores; divergence: length over the lamp's distance, 0 for a parallel beam.
    Area of the lens of two circles of radii 1/2 and (1 + divergence)/2
    (Weisstein, MathWorld, "Circle-Circle Intersection"), over the larger.
    """
    small, large = 0.5, 0.5 * (1 + divergence)
    d = np.clip(shift, max(large - small, 1e-12), large + small)
    to_small = (d**2 + small**2 - large**2) / (2 * d)
    to_large = d - to_small
    lens = sum(
        r**2 * np.arccos(np.clip(x / r, -1, 1)) - x * np.sqrt(np.maximum(r**2 - x**2, 0))
        for r, x in ((small, to_small), (large, to_large)))
    return lens / (np.pi * large**2)


def bow_parts(bow: np.ndarray, length: float) -> tuple[np.ndarray, np.ndarray]:
    """Shifts and weights (N, PARTS) of the acceptance of tubes that bow by
    ``bow`` (N, mm): from 0.7 of the entrance tangent 4h/L on, with a tail
    outwards; their mean is the tangent."""
    weights = np.exp(-0.8 * np.arange(PARTS))
    weights /= weights.sum()
    steps = np.linspace(0, 1, PARTS)
    reach = 0.3 / (steps @ weights)
    tangent = 4 * bow / length
    return tangent[:, None] * (0.7 + reach * steps), np.tile(weights, (len(bow), 1))


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
