"""What two lamps look like through the design array, without noise."""

from __future__ import annotations

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
        jitter = np.hypot(
            np.tan(np.radians(settings["array.pointing-jitter-deg"])),
            settings["array.back-jitter-pitches"] * back / settings["array.tube-length"])
        self._slopes, self._blurred = _blur(acceptance, jitter)

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
        x = np.linspace(0, 2.5 * half, 2001)
        total = sum(self._one_lamp((x - place) * per_mm, distance, scattered)
                    for place in (half, -half))
        return float(1 - total[0] / total.max())

    def crossing(self, spacing: float, least: float, scattered: bool = False) -> float:
        """Distance at which the dip falls to ``least`` (mm); nan if it never does."""
        def excess(log_distance: float) -> float:
            return self.dip(spacing, np.exp(log_distance), scattered) - max(least, 1e-3)
        grid = np.linspace(np.log(100), np.log(50000), 60)
        values = np.array([excess(g) for g in grid])
        falls = np.flatnonzero((values[:-1] > 0) & (values[1:] <= 0))
        if len(falls) == 0:
            return float("nan")
        at = falls[0]
        return float(np.exp(optimize.brentq(excess, grid[at], grid[at + 1])))

    def _one_lamp(self, slopes: np.ndarray, distance: float,
                  scattered: bool) -> np.ndarray:
        """Response at these slopes off a lamp's middle, along the line."""
        ring = 0.7638 * self._lamp / 2 / distance
        angles = np.arange(6) * np.pi / 3
        points = [(0.0, 0.0)] + [(ring * np.cos(a), ring * np.sin(a)) for a in angles]
        off = [np.hypot(slopes + x, y) for x, y in points]
        if scattered:
            return sum(np.interp(r, self._slopes, self._blurred, right=0) for r in off) / 7
        return sum(self._acceptance(r) for r in off) / 7


def _blur(acceptance: Acceptance, jitter: float) -> tuple[np.ndarray, np.ndarray]:
    """Slopes, and the acceptance averaged over Gaussian pointing scatter."""
    slopes = np.linspace(0, acceptance.reach + 5 * jitter, 4001)
    nodes, weights = np.polynomial.hermite_e.hermegauss(9)
    weights = weights / weights.sum()
    blurred = sum(
        u * v * acceptance(np.hypot(slopes + a * jitter, b * jitter))
        for a, u in zip(nodes, weights) for b, v in zip(nodes, weights))
    return slopes, blurred
