"""Processor time of general-purpose tools on one photo of cells, beside decoding it.

    /usr/bin/python3 bench/speed/peers.py PHOTO COLUMNS

Debian: python3-numpy, python3-opencv, python3-sep, python3-photutils; what isn't installed is left out.
"""

from __future__ import annotations

import sys
import time

import cv2
import numpy as np

REPEATS = 3


def least(step) -> float:
    """Least processor time of a few runs, ms."""
    times = []
    for _ in range(REPEATS):
        before = time.process_time()
        step()
        times.append(1e3 * (time.process_time() - before))
    return min(times)


def main(path: str, columns: int) -> None:
    cv2.setNumThreads(1)
    photo = cv2.imread(path)
    grey = cv2.cvtColor(photo, cv2.COLOR_BGR2GRAY)
    linear = np.ascontiguousarray((grey / 255.0) ** 2.2, dtype=np.float32)
    radius = 0.45 * photo.shape[1] / (columns + 4)
    steps = {"OpenCV: decoding": lambda: cv2.imread(path)}

    settings = cv2.SimpleBlobDetector_Params()
    settings.filterByColor, settings.blobColor = True, 255
    settings.minArea, settings.maxArea = radius**2, 12 * radius**2
    settings.minDistBetweenBlobs = radius
    detector = cv2.SimpleBlobDetector_create(settings)
    steps["OpenCV: blob detector"] = lambda: detector.detect(grey)

    try:
        import sep

        sep.set_extract_pixstack(5_000_000)
        steps["sep: background, extraction, apertures"] = lambda: with_sep(sep, linear, radius)
    except ImportError:
        pass
    try:
        from photutils.aperture import CircularAperture, aperture_photometry
        from photutils.detection import DAOStarFinder

        def with_photutils() -> None:
            found = DAOStarFinder(threshold=0.1 * float(linear.max()), fwhm=2 * radius)(linear)
            places = np.transpose((found["xcentroid"], found["ycentroid"]))
            aperture_photometry(linear, CircularAperture(places, r=radius))

        steps["photutils: finder and apertures"] = with_photutils
    except ImportError:
        pass
    print("\n| tool | processor time |\n|---|---|")
    for name, step in steps.items():
        print(f"| {name} | {least(step):.0f} ms |", flush=True)


def with_sep(sep, linear: np.ndarray, radius: float) -> None:
    background = sep.Background(linear)
    objects = sep.extract(linear - background, 0.05 * float(linear.max()), minarea=int(radius**2))
    sep.sum_circle(linear - background, objects["x"], objects["y"], radius)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
