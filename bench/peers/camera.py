"""The camera: where a point of the sheet lands, exposure, noise, tone."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
from scipy import ndimage

from photofile import encode_srgb

EXPOSURES = sorted(
    [Fraction(1, n) for n in (
        8000, 6400, 5000, 4000, 3200, 2500, 2000, 1600, 1250, 1000, 800, 640,
        500, 400, 320, 250, 200, 160, 125, 100, 80, 60, 50, 40, 30, 25, 20,
        15, 13, 10, 8, 6, 5, 4, 3)]
    + [Fraction(n, 10) for n in (
        4, 5, 6, 8, 10, 13, 16, 20, 25, 30, 40, 50, 60, 80, 100, 130, 150,
        200, 250, 300)])
# Sensitivity of the raw channels; white balance lifts them to equal levels.
RAW_SENSITIVITY = (0.55, 1.0, 0.65)


class Projection:
    """Pinhole camera with radial distortion, looking at the sheet's plane."""

    def __init__(self, settings: dict[str, Any], corners_mm: np.ndarray,
                 rng: np.random.Generator):
        """corners_mm (N, 2): what must be in the picture, across and up."""
        tilt = np.radians(settings["camera.tilt-deg"])
        way = rng.uniform(0, 2 * np.pi)
        turn = _rotation(tilt, way, np.radians(settings["camera.roll-deg"]))
        distance = settings["camera.distance-diagonals"] * np.linalg.norm(
            np.ptp(corners_mm, axis=0))
        focal = settings["camera.pitch-px"] / settings["array.back-pitch"] * distance
        self.scale = focal / distance
        self._matrix = np.array([
            [focal * turn[0, 0], focal * turn[0, 1], 0],
            [-focal * turn[1, 0], -focal * turn[1, 1], 0],
            [-turn[2, 0], -turn[2, 1], distance]])
        self._k1, self._half = 0.0, 1.0
        self.centre = np.zeros(2)
        around = self.to_px(corners_mm)
        low, high = around.min(axis=0), around.max(axis=0)
        self.width, self.height = np.ceil(high - low).astype(int)
        self._half = np.hypot(*(high - low)) / 2
        self.centre = -low + rng.uniform(-0.3, 0.3, 2) * self.scale
        self._k1 = settings["camera.distortion"]

    def to_px(self, points_mm: np.ndarray) -> np.ndarray:
        """Sheet points (..., 2) in mm, up positive, to pixels (x, y down)."""
        across, up = points_mm[..., 0], points_mm[..., 1]
        x, y, w = np.tensordot(
            self._matrix, np.stack([across, up, np.ones_like(up)]), axes=1)
        flat = np.stack([x / w, y / w], axis=-1)
        r2 = (flat**2).sum(axis=-1, keepdims=True) / self._half**2
        return flat * (1 + self._k1 * r2) + self.centre

    def to_mm(self, points_px: np.ndarray) -> np.ndarray:
        """Pixels (..., 2) to sheet points in mm: the inverse of to_px."""
        bent = points_px - self.centre
        flat = bent
        for _ in range(14):
            r2 = (flat**2).sum(axis=-1, keepdims=True) / self._half**2
            flat = bent / (1 + self._k1 * r2)
        x, y, w = np.tensordot(
            np.linalg.inv(self._matrix),
            np.stack([flat[..., 0], flat[..., 1], np.ones(flat.shape[:-1])]), axes=1)
        return np.stack([x / w, y / w], axis=-1)

    def px_to_mm_slopes(self, points_mm: np.ndarray) -> np.ndarray:
        """Local matrices (N, 2, 2) from pixel offsets to mm offsets."""
        step = 0.02
        columns = [(self.to_px(points_mm + d) - self.to_px(points_mm - d)) / (2 * step)
                   for d in (np.array([step, 0]), np.array([0, step]))]
        return np.linalg.inv(np.stack(columns, axis=-1))

    def vignetting(self, strength: float) -> np.ndarray:
        """Height x width: 1 in the middle, 1 - strength at the corners."""
        x = np.arange(self.width) - (self.width - 1) / 2
        y = np.arange(self.height) - (self.height - 1) / 2
        far = (x[-1] ** 2 + y[-1] ** 2)
        return (1 - strength * (x[None] ** 2 + y[:, None] ** 2) / far).astype(np.float32)


def _rotation(tilt: float, way: float, roll: float) -> np.ndarray:
    """Tilt about an axis in the sheet's plane, after a roll about its normal."""
    axis = np.array([np.cos(way), np.sin(way), 0])
    cross = np.array([[0, 0, axis[1]], [0, 0, -axis[0]], [-axis[1], axis[0], 0]])
    tilted = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
    rolled = np.array([[np.cos(roll), -np.sin(roll), 0],
                       [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    return tilted @ rolled


def choose_exposure(peak_per_s: float, peak: float, times: str) -> Fraction:
    """Exposure time at which the brightest spot reaches this share of full scale.

    times: "stops" takes the longest of a camera's marked times that stays at
    or below the peak; "any" meets it closely, as phones do.
    """
    if times == "any":
        seconds = min(peak / peak_per_s, 30.0)
        if seconds < 1 / 30:
            return Fraction(1, round(1 / seconds))
        return Fraction(round(seconds * 1000), 1000)
    if times != "stops":
        raise ValueError(f"times: stops or any, got {times!r}")
    fitting = [t for t in EXPOSURES if float(t) * peak_per_s <= peak]
    return fitting[-1] if fitting else EXPOSURES[0]


def expose(rate: np.ndarray, exposure: Fraction, iso: int,
           settings: dict[str, Any], rng: np.random.Generator) -> np.ndarray:
    """Light to stored pixels: noise, clipping, white balance, tone, bits.

    rate (H, W) is the share of full scale gathered in one second at ISO 100.
    Returns (H, W, 3) of uint8, or of uint16 for linear tone.
    """
    signal = np.maximum(rate, 0) * (float(exposure) * iso / 100)
    bits = 16 if settings["camera.tone"] == "linear" else 8
    full = 2**bits - 1
    stored = np.empty(rate.shape + (3,), np.uint16 if bits == 16 else np.uint8)
    for channel, sensitivity in enumerate(RAW_SENSITIVITY):
        full_electrons = settings["camera.full-well"] * 100 / iso * sensitivity
        mean = (signal * full_electrons).astype(np.float32)
        spread = np.sqrt(mean + settings["camera.read-noise"] ** 2)
        electrons = mean + spread * rng.standard_normal(mean.shape, np.float32)
        few = mean < 20
        electrons[few] = (rng.poisson(mean[few]) + settings["camera.read-noise"]
                          * rng.standard_normal(int(few.sum()), np.float32))
        if settings["camera.noise-blur-px"] > 0:
            electrons = mean + ndimage.gaussian_filter(
                electrons - mean, settings["camera.noise-blur-px"])
        level = np.clip(electrons / full_electrons + settings["camera.offset"], 0, 1)
        if settings["camera.tone"] == "srgb":
            level = encode_table(level)
        if settings["camera.sharpen"] > 0:
            soft = ndimage.gaussian_filter(level, 2.0)
            level = np.clip(level + settings["camera.sharpen"] * (level - soft), 0, 1)
        stored[..., channel] = np.rint(level * full)
    return stored


def encode_table(linear: np.ndarray) -> np.ndarray:
    """sRGB encoding by a fine table: as exact as 8 bits need, and quick."""
    table = encode_srgb(np.arange(65536) / 65535).astype(np.float32)
    return table[np.rint(linear * 65535).astype(np.uint16)]
