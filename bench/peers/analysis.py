"""From photos to pointing, dip and resolving distance with SciPy alone.

    python3 bench/peers/analysis.py SESSION_FOLDER

For sessions simple enough for it: a square array without dead tubes, black
walls (acceptance: the overlap of two circles), a sheet without halo, PNG
photos of linear light. It shares nothing with Twolamp and nothing with the
renderer but the photos; what it finds goes to stdout as JSON.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
from scipy import ndimage, optimize

MM_PER = {"mm": 1.0, "m": 1000.0}
RAYLEIGH = 0.265


class Session:
    """What session.yaml states; lengths in mm."""

    def __init__(self, folder: Path):
        text = (folder / "session.yaml").read_text()
        self.folder = folder
        self.rows, self.columns = (int(re.search(rf"^  {name}: (\d+)", text, re.M)[1])
                                   for name in ("rows", "columns"))
        self.length, self.bore, self.back_pitch, self.front_pitch = (
            _length(re.search(rf"^  {name}: (.+)$", text, re.M)[1])
            for name in ("tube-length", "tube-bore", "back-pitch", "front-pitch"))
        self.shots = [dict(re.findall(r"([\w-]+): ([^,}]+?)(?=,| })", line))
                      for line in re.findall(r"^  - \{(.+ )\}", text, re.M)]

    def kind(self, kind: str) -> list[dict[str, str]]:
        return [shot for shot in self.shots if shot["kind"] == kind]


def _length(text: str) -> float:
    value, unit = text.split()
    return float(value) * MM_PER[unit]


def light_of(session: Session, shot: dict[str, str]) -> np.ndarray:
    """Linear light of a photo per unit of exposure."""
    photo = session.folder / shot["photo"]
    size = subprocess.run(["identify", "-format", "%w %h", str(photo)],
                          capture_output=True, check=True, text=True).stdout
    width, height = map(int, size.split())
    raw = subprocess.run(["convert", str(photo), "-depth", "16", "-endian", "LSB", "rgb:-"],
                         capture_output=True, check=True).stdout
    level = np.frombuffer(raw, "<u2").reshape(height, width, 3).mean(axis=2) / 65535
    seconds = shot["exposure"].split()[0].split("/")
    exposure = float(seconds[0]) / float(seconds[1] if len(seconds) > 1 else 1)
    return level / (exposure * float(shot["iso"]) / 100)


def find_spots(even: np.ndarray, session: Session) -> np.ndarray:
    """Centres (N, 2: x, y) of all spots in reading order."""
    count = session.rows * session.columns
    for blur in np.arange(1.5, 8, 0.5):
        soft = ndimage.gaussian_filter(even, blur)
        tops = (soft == ndimage.maximum_filter(soft, 7)) & (soft > 0.4 * soft.max())
        peaks = np.argwhere(tops)
        if len(peaks) == count:
            break
    else:
        raise ValueError(f"no blur shows {count} spots")
    by_row = peaks[np.argsort(peaks[:, 0])].reshape(session.rows, session.columns, 2)
    ordered = np.concatenate([row[np.argsort(row[:, 1])] for row in by_row])
    pitch = np.median(np.diff(ordered[:, 1].reshape(session.rows, session.columns), axis=1))
    yy, xx = np.indices(even.shape)
    centres = []
    for y, x in ordered:
        near = even * (np.hypot(yy - y, xx - x) < 0.5 * pitch)
        centres.append([(near * xx).sum() / near.sum(), (near * yy).sum() / near.sum()])
    return np.array(centres)


def sums_around(picture: np.ndarray, centres: np.ndarray, radius: float) -> np.ndarray:
    """Light (N) in a disk around each centre, its edge one pixel soft."""
    yy, xx = np.indices(picture.shape)
    return np.array([
        (picture * np.clip(radius + 0.5 - np.hypot(xx - x, yy - y), 0, 1)).sum()
        for x, y in centres])


def overlap(shift: np.ndarray, divergence: float) -> np.ndarray:
    """Share of a point's beam through the front opening that meets the back one,
    by integrating over strips; shift in bores, divergence = length over distance."""
    edge = np.linspace(-0.5, 0.5, 401)
    strips = (edge[1:] + edge[:-1]) / 2
    large = (1 + divergence) / 2
    one, other = np.sqrt(0.25 - strips**2), np.sqrt(large**2 - strips**2)
    d = np.abs(np.asarray(shift))[..., None]
    both = np.minimum(one, d + other) - np.maximum(-one, d - other)
    return np.maximum(both, 0).sum(axis=-1) * (edge[1] - edge[0]) / (np.pi * large**2)


class Overlap:
    """The same from a table, for one divergence."""

    def __init__(self, divergence: float):
        self._grid = np.linspace(0, 1.2 + divergence, 1500)
        self._values = overlap(self._grid, divergence)

    def __call__(self, shift: np.ndarray) -> np.ndarray:
        return np.interp(np.abs(shift), self._grid, self._values)


def find_pointing(session: Session, seen: np.ndarray, noise: np.ndarray,
                  fronts: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Slopes (N, 2) in which tubes look, and their uncertainty (N).

    seen (lamps, N): lamp light over even light; noise likewise.
    """
    lamps = session.kind("lamp")
    places = np.array([[_length(s["across"]), _length(s["up"])] for s in lamps])
    distance = _length(lamps[0]["distance"])
    shape = Overlap(session.length / distance)
    looks, unsure = [], []
    for tube, front in enumerate(fronts):
        slopes = (places - front) / distance
        falloff = (1 + (slopes**2).sum(axis=1)) ** -1.5
        light, sigma = seen[:, tube], noise[:, tube]
        start = (slopes * light[:, None]).sum(axis=0) / light.sum()

        def miss(free: np.ndarray) -> np.ndarray:
            off = np.hypot(*(slopes - free[:2]).T) * session.length / session.bore
            return (free[2] * falloff * shape(off) - light) / sigma
        fit = optimize.least_squares(miss, [*start, light.max()],
                                     x_scale=[1e-3, 1e-3, light.max()])
        spread = np.linalg.inv(fit.jac.T @ fit.jac) * max(
            1, 2 * fit.cost / max(1, len(light) - 3))
        looks.append(fit.x[:2])
        unsure.append(np.sqrt((spread[0, 0] + spread[1, 1]) / 2))
    return np.array(looks), np.array(unsure)


def dip_of(session: Session, spacing: float, distance: float, wider: float,
           scatter: float) -> float:
    """1 - valley / peak of two lamps in an array whose tubes look astray by
    ``scatter`` (slope, each way) and see ``wider`` times as wide as their bore says."""
    shape = Overlap(session.length / distance)
    scatter *= 1 + session.length / distance
    nodes, weights = np.polynomial.hermite_e.hermegauss(7)
    weights = weights / weights.sum()

    def one(slope: np.ndarray) -> np.ndarray:
        return sum(u * v * shape(np.hypot(slope + a * scatter, b * scatter)
                                 * session.length / session.bore / wider)
                   for a, u in zip(nodes, weights) for b, v in zip(nodes, weights))
    # Every tube sees both lamps from where it stands: their images lie their angle apart.
    half = spacing / distance / 2
    x = np.linspace(0, 2.5 * half, 801)
    total = one(x - half) + one(x + half)
    return float(1 - total[0] / total.max())


def read_pair(session: Session, shot: dict[str, str], seen: np.ndarray, noise: np.ndarray,
              fronts: np.ndarray, looks: np.ndarray) -> tuple[float, float]:
    """How much wider than their bore the tubes see two lamps, and its uncertainty."""
    turned = np.radians(float(shot["turned"].split()[0]))
    way = np.array([np.cos(turned), np.sin(turned)]) * _length(shot["spacing"]) / 2
    middle = np.array([_length(shot["across"]), _length(shot["up"])])
    distance = _length(shot["distance"])
    shape = Overlap(session.length / distance)

    def miss(free: np.ndarray) -> np.ndarray:
        total = np.zeros(len(fronts))
        for side in (-1, 1):
            slopes = (middle + side * way - fronts) / distance + free[2:]
            off = np.hypot(*(slopes - looks).T) * session.length / session.bore / free[1]
            total += (1 + (slopes**2).sum(axis=1)) ** -1.5 * shape(off)
        return (free[0] * total - seen) / noise
    fit = optimize.least_squares(miss, [seen.max(), 1.0, 0.0, 0.0],
                                 x_scale=[seen.max(), 0.05, 1e-3, 1e-3])
    spread = np.linalg.inv(fit.jac.T @ fit.jac) * max(1, 2 * fit.cost / max(1, len(seen) - 4))
    return float(fit.x[1]), float(np.sqrt(spread[1, 1]))


def analyse(folder: Path) -> dict:
    """Everything that this analysis finds in a session."""
    session = Session(folder)
    dark = light_of(session, session.kind("dark")[0])
    even = light_of(session, session.kind("even")[0]) - dark
    centres = find_spots(even, session)
    pitch = np.median(np.diff(centres[:, 0].reshape(session.rows, session.columns), axis=1))
    typical = sums_around(even, centres, 0.5 * pitch)

    def seen_in(shot: dict[str, str]) -> tuple[np.ndarray, np.ndarray]:
        light = sums_around(light_of(session, shot) - dark, centres, 0.5 * pitch) / typical
        # Places in the photo are good to a part in two hundred of the light.
        return light, np.hypot(0.005 * light, 0.002 * light.max())
    row, column = np.divmod(np.arange(len(centres)), session.columns)
    fronts = session.front_pitch * np.stack(
        [column - (session.columns - 1) / 2, (session.rows - 1) / 2 - row], axis=1)
    lit = [seen_in(shot) for shot in session.kind("lamp")]
    looks, unsure = find_pointing(session, np.array([light for light, _ in lit]),
                                  np.array([noise for _, noise in lit]), fronts)
    # Axes fan out evenly: what a plane leaves is the tubes' own. Their front ends stand aside by
    # as much as they turn the tubes, so that near lamps overstate it by 1 + L/D.
    terms = np.stack([np.ones(len(row)), column, row], axis=1)
    plane = terms @ np.linalg.lstsq(terms, looks, rcond=None)[0]
    nearness = session.length / _length(session.kind("lamp")[0]["distance"])
    astray = (looks - plane) / (1 + nearness)
    scatter = float(np.sqrt(max(0, astray.var(ddof=1) - np.median(unsure) ** 2)))
    looks = plane + astray

    pairs = []
    for shot in session.kind("pair"):
        apparent = plane + astray * (1 + session.length / _length(shot["distance"]))
        wider, sigma = read_pair(session, shot, *seen_in(shot), fronts, apparent)
        at = [_length(shot["spacing"]), _length(shot["distance"])]
        dips = [dip_of(session, *at, wider + step, scatter) for step in (-sigma, 0, sigma)]
        pairs.append({"photo": shot["photo"], "wider": wider, "sigma": sigma, "dip": dips[1],
                      "dipUncertainty": abs(dips[2] - dips[0]) / 2})
    spacing = _length(session.kind("pair")[0]["spacing"])
    wider = np.array([pair["wider"] for pair in pairs])
    mean, spread = wider.mean(), wider.std(ddof=1) / np.sqrt(len(wider))

    def crossing(width: float) -> float:
        return optimize.brentq(
            lambda distance: dip_of(session, spacing, distance, width, scatter) - RAYLEIGH,
            200, 10000, rtol=1e-5)
    return {
        "tubes": [{"row": int(r) + 1, "column": int(c) + 1,
                   "acrossDeg": float(np.degrees(np.arctan(look[0]))),
                   "upDeg": float(np.degrees(np.arctan(look[1]))),
                   "uncertaintyDeg": float(np.degrees(sigma))}
                  for r, c, look, sigma in zip(row, column, looks, unsure)],
        "pairs": [{key: pair[key] for key in ("photo", "dip", "dipUncertainty")}
                  for pair in pairs],
        "resolving": {
            "distanceM": crossing(mean) / 1000,
            "uncertaintyM": abs(crossing(mean + spread) - crossing(mean - spread)) / 2000},
    }


if __name__ == "__main__":
    print(json.dumps(analyse(Path(sys.argv[1]))))
