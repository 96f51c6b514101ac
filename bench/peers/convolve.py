"""What straight black tubes see of a flat scene, by SciPy's convolution with the closed-form overlap of two circles.

    python3 bench/peers/convolve.py SCENE.npy < REQUEST.json

SCENE.npy is linear light, float32. REQUEST.json: lengthMm, boreMm, distanceMm (of the scene from the front faces), widthMm (of the
scene), and axes: where each tube's axis meets the scene, [across, up] in mm from its middle. To stdout: the mean light of each tube,
as a JSON list.
"""

from __future__ import annotations

import json
import sys

import numpy as np
from scipy import ndimage, signal

CUT = 4  # kernel pixels a scene pixel, each way


def overlap(apart: np.ndarray, r: float, s: float) -> np.ndarray:
    """Common area of two circles of radii r ≤ s, their middles apart."""
    d = np.clip(apart, max(s - r, 1e-12), r + s)
    a = np.arccos(np.clip((d * d + r * r - s * s) / (2 * d * r), -1, 1))
    b = np.arccos(np.clip((d * d + s * s - r * r) / (2 * d * s), -1, 1))
    kite = np.sqrt(np.maximum((-d + r + s) * (d + r - s) * (d - r + s) * (d + r + s), 0)) / 2
    return r * r * a + s * s * b - kite


def kernel(length: float, bore: float, distance: float, step: float) -> np.ndarray:
    """Light of each scene pixel through one tube: seen from it, the front opening's shadow on the back one; cos⁴ of the slant."""
    reach = bore / 2 * (1 + (distance + length) / distance) * distance / length
    half = int(np.ceil(reach / step))
    fine = (np.arange(CUT * (2 * half + 1)) + 0.5) * step / CUT - (half + 0.5) * step
    away = np.hypot(fine[:, None], fine)
    through = overlap(away * length / distance, bore / 2, bore / 2 * (distance + length) / distance)
    light = through * (1 + (away / (distance + length)) ** 2) ** -2
    side = 2 * half + 1
    return light.reshape(side, CUT, side, CUT).mean(axis=(1, 3))


def main() -> None:
    scene = np.load(sys.argv[1]).astype(float)
    request = json.load(sys.stdin)
    step = request["widthMm"] / scene.shape[1]
    weights = kernel(request["lengthMm"], request["boreMm"], request["distanceMm"], step)
    seen = signal.fftconvolve(scene, weights / weights.sum(), mode="same")
    axes = np.array(request["axes"])
    rows = (scene.shape[0] - 1) / 2 - axes[:, 1] / step
    columns = (scene.shape[1] - 1) / 2 + axes[:, 0] / step
    json.dump(ndimage.map_coordinates(seen, [rows, columns], order=1).tolist(), sys.stdout)


if __name__ == "__main__":
    main()
