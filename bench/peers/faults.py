"""Which tubes are at fault, and what their fault does to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from scipy import sparse

from acceptance import bow_parts

if TYPE_CHECKING:
    from tubes import Tubes


def assign_faults(tubes: Tubes, near: sparse.csr_array, settings: dict[str, Any],
                  rng: np.random.Generator) -> np.ndarray:
    """Put the faults of the settings into the tubes, in place.

    near: N x N, which tubes are next to each other. Returns the share (N) of
    each tube's light that leaks to its neighbour ``leaks_to``.
    """
    count = len(tubes.row)
    length = settings["array.tube-length"]

    def pick(name: str) -> np.ndarray:
        free = np.flatnonzero(tubes.fault == "none")
        share = settings[f"faults.{name}"]
        wanted = 0 if share <= 0 else max(1, round(share * count))
        chosen = rng.choice(free, wanted, replace=False)
        tubes.fault[chosen] = name
        return chosen

    _block_clusters(tubes, near, settings, rng)
    pick("blocked")
    _keep_rims_alive(tubes, rng)
    tubes.fault[tubes.column == settings["faults.dead-column"]] = "blocked"
    blocked = np.flatnonzero(tubes.fault == "blocked")
    tubes.gain[blocked] = rng.uniform(0, 0.005, len(blocked))

    weak = pick("weak")
    tubes.gain[weak] = rng.uniform(0.3, 0.85, len(weak))

    misaimed = pick("misaimed")
    angle = np.radians(rng.uniform(*settings["faults.misaim-deg"], len(misaimed)))
    tubes.front[misaimed] += length * np.tan(angle)[:, None] * _ways(len(misaimed), rng)

    bent = pick("bent")
    _bend(tubes, bent, settings, rng)

    opened = pick("open")
    factor = np.exp(rng.uniform(*np.log(settings["faults.open-factor"]), len(opened)))
    tubes.gain[opened] = factor
    tubes.width[opened] = np.sqrt(factor)

    shares = np.zeros(count)
    for source in pick("leaky"):
        friends = near.indices[near.indptr[source]:near.indptr[source + 1]]
        friends = friends[tubes.fault[friends] == "none"]
        if len(friends) == 0:
            tubes.fault[source] = "none"
            continue
        tubes.leaks_to[source] = rng.choice(friends)
        shares[source] = rng.uniform(0.02, 0.15)
    return shares


def _ways(count: int, rng: np.random.Generator) -> np.ndarray:
    """Random unit vectors (count, 2)."""
    angle = rng.uniform(0, 2 * np.pi, count)
    return np.stack([np.cos(angle), np.sin(angle)], axis=1)


def _bend(tubes: Tubes, bent: np.ndarray, settings: dict[str, Any],
          rng: np.random.Generator) -> None:
    """Bow h: looks aside along the entrance tangent 4h/L, skewed, some loss."""
    tubes.bow[bent] = rng.uniform(*settings["faults.bow"], len(bent))
    tubes.bend[bent] = _ways(len(bent), rng)
    tubes.part_shifts[bent], tubes.part_weights[bent] = bow_parts(tubes.bow[bent], tubes.length)
    tubes.width[bent] *= rng.uniform(1.05, 1.3, len(bent))
    tubes.gain[bent] *= 1 - rng.uniform(0.03, 0.1, len(bent)) * tubes.bow[bent]


def _block_clusters(tubes: Tubes, near: sparse.csr_array, settings: dict[str, Any],
                    rng: np.random.Generator) -> None:
    """Patches of blocked tubes, grown from neighbour to neighbour."""
    wanted = round(settings["faults.cluster-share"] * len(tubes.row))
    clusters = settings["faults.clusters"]
    if wanted == 0 or clusters == 0:
        return
    rim = _rims(tubes)
    at_rim = np.flatnonzero(np.any(rim, axis=0))
    corners = np.flatnonzero(rim.sum(axis=0) > 1)
    sizes = rng.multinomial(wanted, rng.dirichlet(np.full(clusters, 4.0)))
    for number, size in enumerate(sizes):
        if rng.random() < settings["faults.cluster-at-rim"]:
            start = rng.choice(corners if number % 3 == 0 else at_rim)
        else:
            start = rng.integers(len(tubes.row))
        patch = {int(start)}
        while len(patch) < size:
            edge = np.concatenate([
                near.indices[near.indptr[i]:near.indptr[i + 1]] for i in patch])
            edge = edge[~np.isin(edge, list(patch))]
            patch.add(int(rng.choice(edge)))
        if size:
            tubes.fault[list(patch)] = "blocked"


def _rims(tubes: Tubes) -> np.ndarray:
    """4 x N: top, bottom, left and right rim."""
    return np.stack([tubes.row == 1, tubes.row == tubes.row.max(),
                     tubes.column == 1, tubes.column == tubes.column.max()])


def _keep_rims_alive(tubes: Tubes, rng: np.random.Generator) -> None:
    """No rim row or column may go more than two thirds blocked."""
    if np.all(tubes.row == 0):
        return  # Packed: there are none.
    for rim in _rims(tubes):
        members = np.flatnonzero(rim)
        blocked = members[tubes.fault[members] == "blocked"]
        surplus = len(blocked) - 2 * len(members) // 3
        if surplus > 0:
            tubes.fault[rng.choice(blocked, surplus, replace=False)] = "none"
