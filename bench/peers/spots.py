"""Places and light of bright spots by general-purpose libraries, for the test beside Twolamp's.

    python3 bench/peers/spots.py LIGHT.npy PITCH_PX

LIGHT.npy is linear light, float32, the dark frame taken off. To stdout goes JSON: for each method a list of [x, y, light], light null where the method gives
none. Nothing here knows where a cell is.
"""

from __future__ import annotations

import json
import sys

import cv2
import numpy as np
import sep
from scipy import ndimage

DETECTED = 0.35       # of a bright spot's peak
APERTURE_PITCHES = 0.5
WINDOW_PITCHES = 0.17


def by_sep(light: np.ndarray, pitch: float) -> list[list[float | None]]:
    """Source extraction, windowed places, light in a circle that holds one spot."""
    sources = sep.extract(light, DETECTED * np.percentile(light, 98), minarea=5, deblend_cont=0.0005, clean=False)
    x, y, _ = sep.winpos(light, sources["x"], sources["y"], WINDOW_PITCHES * pitch)
    flux, _, _ = sep.sum_circle(light, x, y, APERTURE_PITCHES * pitch, subpix=0)
    return np.stack([x, y, flux], axis=1).tolist()


def by_opencv(light: np.ndarray, pitch: float) -> list[list[float | None]]:
    """Middles of connected bright regions."""
    bright = (light > DETECTED * np.percentile(light, 98)).astype(np.uint8)
    _, _, stats, middles = cv2.connectedComponentsWithStats(bright)
    kept = np.flatnonzero(stats[1:, cv2.CC_STAT_AREA] > 5) + 1
    return [[x, y, None] for x, y in middles[kept].tolist()]


def by_scipy(light: np.ndarray, pitch: float) -> list[list[float | None]]:
    """Centroids of light above the threshold, region by region."""
    least = DETECTED * np.percentile(light, 98)
    labels, count = ndimage.label(light > least)
    index = np.arange(1, count + 1)
    kept = index[ndimage.sum_labels(labels > 0, labels, index) > 5]
    return [[x, y, None] for y, x in ndimage.center_of_mass(light - least, labels, kept)]


def main() -> None:
    light = np.ascontiguousarray(np.load(sys.argv[1]), dtype=np.float32)
    pitch = float(sys.argv[2])
    methods = {"sep": by_sep, "opencv": by_opencv, "scipy": by_scipy}
    json.dump({name: method(light, pitch) for name, method in methods.items()}, sys.stdout)


if __name__ == "__main__":
    main()
