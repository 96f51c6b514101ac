"""Centres and light of the cells by a general-purpose source extractor, beside Twolamp's.

    node bench/dist/accuracy/export-light.js LIGHT SESSION_FOLDER ...
    /usr/bin/python3 bench/peers/photometry.py LIGHT/*

Uses SEP, the library form of Source Extractor (Debian: python3-sep, with python3-numpy). Skipped, and said so, where
it isn't installed. The library is given every advantage: which of its sources is which cell is told by the truth, and
background mesh, window and aperture are those that come nearest to the truth on each photo set.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import NamedTuple

try:
    import numpy as np
    import sep
except ImportError as missing:
    print(f"skipped: {missing.name} is not installed (Debian: python3-sep, python3-numpy)")
    sys.exit(0)

MESHES = (None, 3.0, 8.0)            # background mesh, pitches; None: no background, the dark shot is off already
THRESHOLDS = (0.1, 0.3)              # of detection, share of a bright cell's peak
WINDOWS = (0.08, 0.12, 0.17, 0.24)   # standard deviation of the centroid's window, pitches
APERTURES = (0.35, 0.4, 0.45, 0.5, 0.55, 0.6)  # radius, pitches
MATCH_PITCHES = 0.35
SMOOTH_DEGREE = 4
CUT_SIGMAS = 4.0
LEAST_FOUND = 0.5                    # share of the cells, for figures to be given


class Cells(NamedTuple):
    """The cells of one photo, in reading order: truth and Twolamp's figures."""

    true: np.ndarray       # (N, 2) px
    light: np.ndarray      # (N) true relative transmission
    healthy: np.ndarray    # (N) no fault
    beside: np.ndarray     # (N) healthy, with a dark or far brighter neighbour
    places: np.ndarray     # (N, 2) px, measured
    relative: np.ndarray   # (N) measured relative transmission
    pitch: float           # px


def read_cells(folder: Path) -> Cells:
    """Truth and result of one exported photo."""
    truth = json.loads((folder / "truth.json").read_text())["cells"]
    cells = json.loads((folder / "result.json").read_text())["cells"]
    true = np.array([[c["xPx"], c["yPx"]] for c in truth])
    light = np.array([c["relativeTransmission"] for c in truth])
    healthy = np.array([c["fault"] == "none" for c in truth])
    apart = np.linalg.norm(true[:, None] - true[None], axis=2)
    np.fill_diagonal(apart, np.inf)
    pitch = float(np.median(apart.min(axis=1)))
    odd = (light < 0.3) | (light > 2)
    beside = healthy & ((apart < 1.3 * pitch) & odd[None]).any(axis=1)
    return Cells(true, light, healthy, beside,
                 np.array([[c["xPx"], c["yPx"]] for c in cells]),
                 np.array([c["transmission"]["relative"] or np.nan for c in cells]), pitch)


def smooth_taken_off(places: np.ndarray, values: np.ndarray) -> np.ndarray:
    """What a smooth surface over the places leaves of the values: uneven light and the lens's falling off go."""
    unit = 2 * (places - places.min(axis=0)) / np.ptp(places, axis=0) - 1
    terms = np.stack([unit[:, 0] ** (n - k) * unit[:, 1] ** k
                      for n in range(SMOOTH_DEGREE + 1) for k in range(n + 1)], axis=1)
    kept = np.isfinite(values)
    for _ in range(3):
        fitted = terms @ np.linalg.lstsq(terms[kept], values[kept], rcond=None)[0]
        rest = values - fitted
        kept = np.isfinite(rest) & (np.abs(rest) <= CUT_SIGMAS * np.sqrt(np.mean(rest[kept] ** 2)))
    return rest * np.sqrt(len(values) / (len(values) - terms.shape[1]))


def root_mean_square(values: np.ndarray) -> float:
    return float(np.sqrt(np.mean(values ** 2)))


class Figures(NamedTuple):
    """Errors of one program on one photo."""

    found: float           # share of the healthy cells
    centre: float          # px, RMS
    light: float           # relative, RMS
    beside: float          # the same, beside dark or open cells


def figures(cells: Cells, places: np.ndarray, light: np.ndarray) -> Figures:
    """places (N, 2) and light (N), NaN where a cell wasn't found."""
    with np.errstate(invalid="ignore", divide="ignore"):
        errors = np.log(np.where(light > 0, light, np.nan) / cells.light)
    seen = cells.healthy & np.isfinite(errors) & np.isfinite(places).all(axis=1)
    if seen.sum() < LEAST_FOUND * cells.healthy.sum():
        return Figures(seen.sum() / cells.healthy.sum(), np.inf, np.inf, np.inf)
    miss = np.linalg.norm(places - cells.true, axis=1)
    rest = smooth_taken_off(cells.true[seen], errors[seen])
    beside = rest[cells.beside[seen]]
    return Figures(seen.sum() / cells.healthy.sum(), root_mean_square(miss[seen]), root_mean_square(rest),
                   root_mean_square(beside) if len(beside) else np.nan)


def detected(clear: np.ndarray, threshold: float, cells: Cells) -> np.ndarray:
    """Which source is which cell: (N, 2) px, NaN where none lies near."""
    sep.set_extract_pixstack(3_000_000)
    sep.set_sub_object_limit(8192)
    sigma = max(0.7, 0.15 * cells.pitch)
    half = int(np.ceil(2 * sigma))
    offsets = np.arange(-half, half + 1)
    kernel = np.exp(-(offsets[:, None] ** 2 + offsets ** 2) / (2 * sigma ** 2))
    sources = sep.extract(clear, threshold * np.percentile(clear, 98), filter_kernel=kernel, minarea=5,
                          deblend_nthresh=64, deblend_cont=0.0005, clean=False)
    found = np.stack([sources["x"], sources["y"]], axis=1)
    places = np.full_like(cells.true, np.nan)
    for k, true in enumerate(cells.true):
        far = np.linalg.norm(found - true, axis=1)
        if len(far) and far.min() < MATCH_PITCHES * cells.pitch:
            places[k] = found[far.argmin()]
    return places


def extractor(even: np.ndarray, cells: Cells) -> Figures:
    """The library's figures, each with the settings that come nearest to the truth."""
    trials = [trial for mesh in MESHES for threshold in THRESHOLDS
              for trial in with_settings(even, cells, mesh, threshold)]
    columns = np.array(trials)
    return Figures(np.nanmax(columns[:, 0]), *np.nanmin(columns[:, 1:], axis=0))


def with_settings(even: np.ndarray, cells: Cells, mesh: float | None, threshold: float) -> list[Figures]:
    """Figures for all apertures, with the best window."""
    clear = even
    if mesh is not None:
        width = max(8, int(mesh * cells.pitch))
        clear = even - sep.Background(even, bw=width, bh=width).back()
    start = detected(clear, threshold, cells)
    seen = np.isfinite(start).all(axis=1)
    centres = [start]
    for window in WINDOWS:
        places = np.full_like(start, np.nan)
        x, y, _ = sep.winpos(clear, start[seen, 0], start[seen, 1], window * cells.pitch)
        places[seen] = np.stack([x, y], axis=1)
        centres.append(places)
    places = min(centres, key=lambda p: figures(cells, p, cells.light).centre)
    trials = []
    for radius in APERTURES:
        light = np.full(len(start), np.nan)
        light[seen] = sep.sum_circle(clear, places[seen, 0], places[seen, 1],
                                     radius * cells.pitch, subpix=0)[0]
        trials.append(figures(cells, places, light))
    return trials


def main(folders: list[str]) -> int:
    if not folders:
        print(__doc__)
        return 2
    print(f"SEP {sep.__version__}, NumPy {np.__version__}\n")
    print("| photo | cells found, SEP | centre RMS px, Twolamp | SEP | light RMS %, Twolamp | SEP "
          "| beside dark or open cells %, Twolamp | SEP |")
    print("|---|---|---|---|---|---|---|---|")
    for folder in map(Path, folders):
        cells = read_cells(folder)
        even = np.ascontiguousarray(np.load(folder / "even.npy"), dtype=np.float64)
        mine = figures(cells, cells.places, cells.relative)
        peer = extractor(even, cells)
        print(f"| {folder.name} | {100 * peer.found:.1f} % | {mine.centre:.3f} | {peer.centre:.3f} "
              f"| {100 * mine.light:.3f} | {100 * peer.light:.3f} "
              f"| {100 * mine.beside:.3f} | {100 * peer.beside:.3f} |")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
