"""The list of shots of a session, with the places of the lamps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from pairs import CRITERIA, PairModel
from settings import generator
from tubes import Tubes


@dataclass
class Shot:
    """One photo to take. Lengths in mm; ``stated`` goes into session.yaml."""

    name: str
    kind: str
    stated: dict[str, str]
    lamps: list[tuple[np.ndarray, float]]    # place (across, up) and distance
    tube: int = -1                           # index, for kind single
    spacing: float = 0.0
    distance: float = 0.0
    turned: float = 0.0


def plan_shots(settings: dict[str, Any], seed: int, tubes: Tubes,
               model: PairModel) -> list[Shot]:
    """All shots in the order in which they are taken."""
    rng = generator(seed, "shots", settings["session"])
    shots = [_plain("dark", i, settings["shots.dark-repeats"])
             for i in range(settings["shots.dark-repeats"])]
    shots += [_plain("even", i, settings["shots.even-repeats"])
              for i in range(settings["shots.even-repeats"])]
    if settings["shots.bare"]:
        shots.append(_plain("bare", 0, 1))
    shots += _sweep(settings, tubes, model, rng)
    shots += _pairs(settings, model, rng)
    shots += _singles(settings, tubes, rng)
    return shots


def _plain(kind: str, index: int, of: int) -> Shot:
    return Shot(kind if of == 1 else f"{kind}-{index + 1}", kind, {}, [])


def _sweep(settings: dict[str, Any], tubes: Tubes, model: PairModel,
           rng: np.random.Generator) -> list[Shot]:
    """Lamp places on a grid that covers the whole field of view, or in triangles."""
    columns, rows = settings["shots.sweep-columns"], settings["shots.sweep-rows"]
    if columns * rows == 0:
        return []
    distance = round(settings["shots.sweep-distance"] / 10) * 10.0
    reach = np.abs(tubes.smooth_front).max(axis=0) / model.magnification(distance)
    if settings["shots.sweep-triangles"]:
        return [_lamp_shot(f"lamp-{n + 1:02d}", np.rint(place), distance, settings, rng)
                for n, place in enumerate(_triangles(settings, reach, distance))]
    # A grid of few places stays inside the field, a dense one covers its rim.
    reach *= [columns / (columns + 1.0), rows / (rows + 1.0)]
    shots = []
    for up in np.linspace(1, -1, rows) if rows > 1 else [0.0]:
        for across in np.linspace(-1, 1, columns) if columns > 1 else [0.0]:
            place = np.rint(np.array([across, up]) * reach)
            for _ in range(settings["shots.sweep-repeats"]):
                shots.append(_lamp_shot(f"lamp-{len(shots) + 1:02d}", place, distance,
                                        settings, rng))
    return shots


def _triangles(settings: dict[str, Any], reach: np.ndarray, distance: float) -> list[np.ndarray]:
    """Three triangles of lamps, each as wide as one tube of black walls sees."""
    radius = 0.7 * distance * settings["array.bore"] / settings["array.tube-length"]
    middles = ((-0.45, 0.4, -1), (0.45, 0.4, -1), (0.0, -0.4, 1))
    turns = np.arange(3) * 2 * np.pi / 3
    return [reach * (across, up) + radius * np.array([np.cos(tip * np.pi / 2 + turn),
                                                      np.sin(tip * np.pi / 2 + turn)])
            for across, up, tip in middles for turn in turns]


def _lamp_shot(name: str, place: np.ndarray, distance: float, settings: dict[str, Any],
               rng: np.random.Generator) -> Shot:
    stated = {"across": f"{place[0]:.0f} mm", "up": f"{place[1]:.0f} mm",
              "distance": f"{distance / 1000:.2f} m"}
    true_place, true = _really(place, distance, settings, rng)
    return Shot(name, "lamp", stated, [(true_place, true)], distance=true)


def _really(place: np.ndarray, distance: float, settings: dict[str, Any],
            rng: np.random.Generator) -> tuple[np.ndarray, float]:
    """Where a lamp stands whose place was read off a tape. A pair's two lamps
    share one board: its middle is off, their spacing is as stated."""
    off = np.hypot(settings["shots.tape-error"], settings["shots.tape-share"] * distance)
    true = distance + rng.normal(0, off)
    return place + rng.normal(0, settings["shots.place-error"], 2), true


def _pairs(settings: dict[str, Any], model: PairModel,
           rng: np.random.Generator) -> list[Shot]:
    """Pairs at distances on both sides of the one where they merge."""
    count = settings["shots.pair-distances"]
    if count == 0:
        return []
    spacing = settings["shots.pair-spacing"] or spacing_for(model, settings["shots.pair-crossing"])
    crossing = model.crossing(spacing, CRITERIA["rayleigh"])
    turned = float(settings["shots.pair-turned"])
    way = np.array([np.cos(np.radians(turned)), np.sin(np.radians(turned))])
    shots = []
    for share in np.geomspace(*settings["shots.pair-range"], count):
        distance = round(crossing * share / 10) * 10.0
        cell = settings["array.front-pitch"] / model.magnification(distance)
        for nudge in range(settings["shots.pair-nudges"]):
            aside = (nudge / max(1, settings["shots.pair-nudges"]) - 0.3) * cell
            middle = np.rint(aside * way + rng.uniform(-0.5, 0.5) * cell * way[::-1]) + 0.0
            true_middle, true = _really(middle, distance, settings, rng)
            stated = {"spacing": f"{spacing:.0f} mm", "distance": f"{distance / 1000:.2f} m",
                      "turned": f"{turned:g} deg", "across": f"{middle[0]:.0f} mm",
                      "up": f"{middle[1]:.0f} mm"}
            lamps = [(true_middle + side * spacing / 2 * way, true) for side in (-1, 1)]
            shots.append(Shot(f"pair-{len(shots) + 1:02d}", "pair", stated, lamps,
                              spacing=spacing, distance=true, turned=turned))
    return shots


def spacing_for(model: PairModel, distance: float) -> float:
    """Spacing in whole mm at which two lamps just meet Rayleigh at a distance."""
    spacings = np.arange(2.0, 1500.0)
    low, high = 0, len(spacings) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if model.dip(spacings[middle], distance) < CRITERIA["rayleigh"]:
            low = middle
        else:
            high = middle
    return float(spacings[high])


def _singles(settings: dict[str, Any], tubes: Tubes,
             rng: np.random.Generator) -> list[Shot]:
    """Single tubes: half of the leaky ones first, then healthy ones."""
    count = settings["shots.singles"]
    leaky = np.flatnonzero(tubes.fault == "leaky")
    healthy = np.flatnonzero(tubes.fault == "none")
    chosen = list(rng.permutation(leaky)[:count // 2])
    chosen += list(rng.choice(healthy, count - len(chosen), replace=False))
    shots = []
    for tube in sorted(int(t) for t in chosen):
        stated = {"row": str(tubes.row[tube]), "column": str(tubes.column[tube])}
        shots.append(Shot(f"single-{len(shots) + 1:02d}", "single", stated, [], tube=tube))
    return shots
