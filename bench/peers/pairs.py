"""What two lamps look like through the design array, without noise."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from scipy import optimize

from acceptance import Acceptance

CRITERIA = {"rayleigh": 0.265, "sparrow": 0.0}


class PairModel:
    """Continuous response of the healthy array along the lamps' line."""

    def __init__(self, settings: dict[str, Any], acceptance: Acceptance):
        front, back = settings["array.front-pitch"], settings["array.back-pitch"]
        self._pitch = front
        # One over the distance from the front face to the apex.
        self.to_apex = (front - back) / (settings["array.tube-length"] * front)
        self._lamp = settings["light.lamp-diameter"]
        self._acceptance = acceptance
        self._length = settings["array.tube-length"]
        self._front_jitter = np.tan(np.radians(settings["array.pointing-jitter-deg"]))
        self._other_jitter = np.hypot(
            settings["array.back-jitter-pitches"] * back,
            4 * settings["array.bow-scatter"]) / self._length

    def magnification(self, distance: float) -> float:
        """Place on the front face per place of a lamp."""
        return 1 / (1 + distance * self.to_apex)

    def separation_cells(self, spacing: float, distance: float) -> float:
        """How many cells apart the two lamps' images lie."""
        return spacing * self.magnification(distance) / self._pitch

    def dip(self, spacing: float, distance: float, scattered: bool = False) -> float:
        """1 - valley / lesser peak of the sum of two one-lamp responses.

        scattered: mean over many arrays whose tubes point with the stated
        scatter, in place of an array without any.
        """
        half = spacing * self.magnification(distance) / 2
        per_mm = 1 / distance + self.to_apex
        x = np.linspace(0, 2.5 * half, 1001)
        acceptance = self._acceptance.near(self._length / distance)
        # A front end off its place turns the tube, and sees a near lamp from elsewhere as well.
        jitter = np.hypot(self._front_jitter * (1 + self._length / distance), self._other_jitter)
        seen = _blur(acceptance, jitter) if scattered else acceptance
        total = sum(self._one_lamp((x - place) * per_mm, distance, seen)
                    for place in (half, -half))
        return float(1 - total[0] / total.max())

    def crossing(self, spacing: float, least: float, scattered: bool = False) -> float:
        """Distance at which the dip falls to ``least`` (mm); nan if it never does."""
        def excess(log_distance: float) -> float:
            return self.dip(spacing, np.exp(log_distance), scattered) - max(least, 1e-3)
        grid = np.linspace(np.log(100), np.log(50000), 30)
        values = np.array([excess(g) for g in grid])
        falls = np.flatnonzero((values[:-1] > 0) & (values[1:] <= 0))
        if len(falls) == 0:
            return float("nan")
        at = falls[0]
        return float(np.exp(optimize.brentq(excess, grid[at], grid[at + 1])))

    def _one_lamp(self, slopes: np.ndarray, distance: float,
                  seen: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
        """Response at these slopes off a lamp's middle, along the line."""
        ring = 0.7638 * self._lamp / 2 / distance
        angles = np.arange(6) * np.pi / 3
        points = [(0.0, 0.0)] + [(ring * np.cos(a), ring * np.sin(a)) for a in angles]
        return sum(seen(np.hypot(slopes + x, y)) for x, y in points) / 7


def _blur(acceptance: Acceptance, jitter: float) -> Callable[[np.ndarray], np.ndarray]:
    """The acceptance averaged over Gaussian pointing scatter."""
    slopes = np.linspace(0, acceptance.reach + 5 * jitter, 1201)
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    weights = weights / weights.sum()
    blurred = sum(
        u * v * acceptance(np.hypot(slopes + a * jitter, b * jitter))
        for a, u in zip(nodes, weights) for b, v in zip(nodes, weights))
    return lambda off: np.interp(off, slopes, blurred, right=0)
