"""Bundles stacked without a grid: disks that are pushed together until none overlap."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.spatial import cKDTree

STEPS = 400
PULL = 0.02            # towards the middle, pitches a step at first
SHRINK = 0.985         # of the pull, from step to step
CROWDED = 0.8          # two grains' tubes nearer than this: one of them is left out


def packed_places(settings: dict[str, Any], rng: np.random.Generator) -> np.ndarray:
    """Places (N, 2) of the tubes' middles in pitches, around 0.

    Grains of hexagonal order, turned against each other, are laid side by side; then
    overlapping disks push each other apart while all are drawn to the middle (of a
    ring) or to the middle line (of a box). What is loose at the grains' borders stays.
    """
    count = settings["array.tubes"]
    places = _grains(settings, rng)
    aspect = settings["array.packing-aspect"]
    nearest = np.argsort(_outward(places, aspect))[:count]
    places = places[nearest]
    diameter = rng.normal(1, settings["array.diameter-scatter"], count)
    pull = PULL
    for step in range(STEPS):
        places = _pushed(places, diameter)
        if step < STEPS // 2:
            away = _outward(places, aspect)
            places = places - pull * (places / np.maximum(away, 1)[:, None]) / np.sqrt(count)
            pull *= SHRINK
    return places - (places.min(axis=0) + places.max(axis=0)) / 2


def _outward(places: np.ndarray, aspect: float) -> np.ndarray:
    """How far out (N): of a ring the radius, of a box (aspect above 0) the larger share."""
    if aspect == 0:
        return np.hypot(*places.T)
    return np.maximum(np.abs(places[:, 0]) / np.sqrt(aspect), np.abs(places[:, 1]) * np.sqrt(aspect))


def _grains(settings: dict[str, Any], rng: np.random.Generator) -> np.ndarray:
    """More places than are needed, in grains."""
    reach = 1.3 * np.sqrt(settings["array.tubes"])
    steps = np.arange(-int(2 * reach), int(2 * reach) + 1)
    i, j = (a.ravel() for a in np.meshgrid(steps, steps))
    lattice = np.stack([i + j / 2, j * np.sqrt(3) / 2], axis=1)
    seeds = rng.uniform(-0.5, 0.5, (settings["array.grains"], 2)) * reach
    kept = np.empty((0, 2))
    for number, seed in enumerate(seeds):
        angle = np.radians(rng.uniform(-12, 12))
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        grain = lattice @ turn.T + seed
        grain = grain[np.abs(grain).max(axis=1) < reach]
        grain = grain[cKDTree(seeds).query(grain)[1] == number]
        if len(kept) > 0:
            grain = grain[cKDTree(kept).query(grain)[0] > CROWDED]
        kept = np.vstack([kept, grain])
    return kept


def _pushed(places: np.ndarray, diameter: np.ndarray) -> np.ndarray:
    """Overlapping disks move apart, each by half of what is wanted."""
    pairs = cKDTree(places).query_pairs(diameter.max(), output_type="ndarray")
    if len(pairs) == 0:
        return places
    one, other = pairs.T
    apart = places[other] - places[one]
    distance = np.maximum(np.hypot(*apart.T), 1e-9)
    overlap = np.maximum(0, (diameter[one] + diameter[other]) / 2 - distance)
    move = 0.5 * (overlap / distance)[:, None] * apart
    moved = places.copy()
    np.add.at(moved, one, -move)
    np.add.at(moved, other, move)
    return moved
