"""The array: where its tubes are, where they look, what they pass and leak."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from scipy import sparse
from scipy.spatial import cKDTree

from acceptance import PARTS, Acceptance, bow_parts
from faults import assign_faults
from packing import packed_places
from settings import generator

@dataclass
class Tubes:
    """N tubes, row by row from the top left as seen from the back.

    Positions (N, 2) are across and up in mm on their own face; slopes are
    tangents across and up. ``smooth`` marks the design with the bulge but
    without scatter and faults.
    """

    row: np.ndarray                # (N) from 1
    column: np.ndarray             # (N) from 1
    smooth_back: np.ndarray
    smooth_front: np.ndarray
    back: np.ndarray
    front: np.ndarray
    axis: np.ndarray               # (N, 2) slopes the acceptance is centred on
    gain: np.ndarray               # (N) even light passed, 1 = design
    width: np.ndarray              # (N) acceptance width, 1 = design
    fault: np.ndarray              # (N) names
    bow: np.ndarray                # (N) mm
    bend: np.ndarray               # (N, 2) unit direction of a bent tube's skew
    part_shifts: np.ndarray        # (N, PARTS) slopes along bend
    part_weights: np.ndarray       # (N, PARTS) adding up to 1
    leaks_to: np.ndarray           # (N) index of the neighbour, -1 = none
    acceptance: Acceptance
    length: float                  # mm
    exits: sparse.csr_array = field(default=None)  # light out of i per light of j

    @property
    def pointing(self) -> np.ndarray:
        """Centre of gravity of each acceptance, slopes (N, 2)."""
        shift = (self.part_shifts * self.part_weights).sum(axis=1)
        return self.axis + shift[:, None] * self.bend

    @property
    def design_transmission(self) -> float:
        """Light out over illuminance of the bare sheet in Lambertian light."""
        return self.acceptance.solid_angle / np.pi

    def lamp_light(self, place: np.ndarray, distance: float,
                   diameter: float) -> "LampLight":
        """Light into the exits from a disk-shaped lamp, before crosstalk.

        place: across and up in mm; the lamp's intensity is 1 at 1 m on the
        axis. Light falls by 1/r^2 and by the cosine at the front face.
        """
        angles = np.arange(6) * np.pi / 3
        ring = 0.7638 * diameter / 2 * np.stack([np.cos(angles), np.sin(angles)], axis=1)
        acceptance = self.acceptance.near(self.length / distance)
        light, direct = np.zeros(len(self.row)), np.zeros(len(self.row))
        for point in np.vstack([[0, 0], ring]):
            slopes = (place + point - self.front) / distance
            square = 1 + (slopes**2).sum(axis=1)
            falling = (1000 / distance) ** 2 * square**-1.5
            off = slopes - self.axis
            direct += falling / 7 * acceptance.direct(np.hypot(*off.T))
            passed = np.zeros(len(light))
            for part in range(PARTS):
                aside = off - self.part_shifts[:, part, None] * self.bend
                passed += self.part_weights[:, part] * acceptance(
                    np.hypot(*aside.T) / self.width)
            light += falling * passed / 7
        strength = self.gain / self.width**2
        light *= strength
        # Only a straight tube of the design's width passes light unscattered.
        direct = np.minimum(direct * strength, light)
        direct[np.isin(self.fault, ("bent", "open"))] = 0
        middle = (place - self.front) / distance - self.axis
        return LampLight(light, direct, -middle * self.length, 1 + self.length / distance)


class LampLight(NamedTuple):
    """One lamp's light into the exits of N tubes."""

    entering: np.ndarray           # (N) all of it, spread over the bore
    direct: np.ndarray             # (N) the part that met no wall
    shifts: np.ndarray             # (N, 2) mm, entrance as seen on the exit
    magnified: float               # the entrance as the lamp casts it, over the exit


def lit_by(tubes: Tubes, settings: dict[str, Any], shot: Any) -> np.ndarray:
    """Light out of the tubes (N) in an even, lamp, pair or single shot, crosstalk
    included; the even light is even, and all lamps are equal."""
    if shot.kind == "even":
        return tubes.exits @ tubes.gain
    if shot.kind == "single":
        alone = np.zeros(len(tubes.row))
        alone[shot.tube] = tubes.gain[shot.tube]
        return tubes.exits @ alone
    return tubes.exits @ sum(
        tubes.lamp_light(place, distance, settings["light.lamp-diameter"]).entering
        for place, distance in shot.lamps)


def lattice(settings: dict[str, Any],
            rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Rows, columns (from 1) and places (N, 2) in pitches, middle at 0.

    Packed tubes have row 0, and their number from the top as column.
    """
    if settings["array.arrangement"] == "packed":
        return _packed(settings, rng)
    rows, columns = settings["array.rows"], settings["array.columns"]
    row, column = (a.ravel() + 1 for a in np.mgrid[0:rows, 0:columns])
    across, up = column.astype(float), -row.astype(float)
    if settings["array.arrangement"] == "hexagonal":
        odd = settings["array.shifted-rows"] == "odd"
        across = across + 0.5 * ((row % 2 == 1) == odd)
        up = up * np.sqrt(3) / 2
    places = np.stack([across, up], axis=1)
    return row, column, places - (places.min(axis=0) + places.max(axis=0)) / 2


def _packed(settings: dict[str, Any],
            rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    places = packed_places(settings, rng)
    places = places[np.lexsort((places[:, 0], -places[:, 1]))]
    count = len(places)
    return np.zeros(count, int), np.arange(count) + 1, places


def bulge(places: np.ndarray, most: float, rng: np.random.Generator) -> np.ndarray:
    """Smooth displacement (N, 2), at most ``most`` pitches long."""
    u, v = (places / np.abs(places).max(axis=0)).T
    sign = rng.choice([-1, 1])
    a, b, c, d = rng.uniform(0.4, 1, 4)
    e = rng.uniform(-0.4, 0.4, 6)
    outward = np.stack([a * u * (1 - v**2) + b * u * (u**2 - 0.6),
                        c * v * (1 - u**2) + d * v * (v**2 - 0.6)], axis=1)
    shift = sign * outward + np.stack([u**2, u * v, v**2], axis=1) @ e.reshape(3, 2)
    shift -= shift.mean(axis=0)
    return shift * most / np.hypot(*shift.T).max()


def build_tubes(settings: dict[str, Any], seed: int) -> Tubes:
    """The array of one session, with its faults and leaks."""
    row, column, places = lattice(settings, generator(seed, "packing"))
    count = len(row)
    rng = generator(seed, "tubes")
    length, pitch = settings["array.tube-length"], settings["array.back-pitch"]
    spread = settings["array.front-pitch"] / pitch
    smooth = pitch * (places + bulge(places, settings["array.bulge-pitches"], rng))
    back = smooth + rng.normal(0, settings["array.back-jitter-pitches"] * pitch, (count, 2))
    jitter = np.tan(np.radians(settings["array.pointing-jitter-deg"]))
    front = smooth * spread + rng.normal(0, jitter * length, (count, 2))
    tubes = Tubes(
        row=row, column=column, smooth_back=smooth, smooth_front=smooth * spread,
        back=back, front=front, axis=np.zeros((count, 2)),
        gain=rng.normal(1, settings["array.transmission-scatter"], count),
        width=rng.normal(1, settings["array.width-scatter"], count),
        fault=np.full(count, "none", dtype="<U8"), bow=np.zeros(count),
        bend=np.zeros((count, 2)), part_shifts=np.zeros((count, PARTS)),
        part_weights=np.full((count, PARTS), 1 / PARTS),
        leaks_to=np.full(count, -1),
        acceptance=Acceptance(
            settings["array.bore"] / length, settings["acceptance.tail-share"],
            settings["acceptance.tail-deg"], settings["acceptance.tail-shape"]),
        length=length)
    _bow_all(tubes, settings["array.bow-scatter"], generator(seed, "bows"))
    near = neighbours(places, 1.05)
    shares = assign_faults(tubes, near, settings, generator(seed, "faults"))
    tubes.axis = (tubes.front - tubes.back) / length
    tubes.exits = _exits(tubes, places, shares, settings, generator(seed, "crosstalk"))
    return tubes


def _bow_all(tubes: Tubes, scatter: float, rng: np.random.Generator) -> None:
    """Every tube bows a little, in place: normal each way, mm. It looks aside
    along its entrance and sees slightly skewed; the light it loses is part of
    the scatter of transmissions."""
    bows = rng.normal(0, scatter, (len(tubes.row), 2))
    size = np.hypot(*bows.T)
    tubes.bend = bows / np.maximum(size, 1e-12)[:, None]
    tubes.part_shifts, tubes.part_weights = bow_parts(size, tubes.length)


def neighbours(places: np.ndarray, reach: float) -> sparse.csr_array:
    """Which tubes lie within ``reach`` pitches of each other (N x N, 1 = yes)."""
    pairs = cKDTree(places).query_pairs(reach, output_type="ndarray")
    ends = np.vstack([pairs, pairs[:, ::-1]])
    return sparse.csr_array((np.ones(len(ends)), (ends[:, 0], ends[:, 1])),
                            shape=(len(places),) * 2)


def _exits(tubes: Tubes, places: np.ndarray, leak_shares: np.ndarray,
           settings: dict[str, Any], rng: np.random.Generator) -> sparse.csr_array:
    """Crosstalk: column j says where the light of tube j comes out."""
    count = len(places)
    near = neighbours(places, 1.05) + 0.35 * (
        neighbours(places, 1.8) - neighbours(places, 1.05))
    typical = near.sum(axis=0).max()
    vary = near.tocoo()
    leak = sparse.coo_array(
        (vary.data * rng.lognormal(0, 0.3, vary.nnz), (vary.row, vary.col)), near.shape)
    leak = (leak * (settings["array.crosstalk"] / typical)).tolil()
    for source in np.flatnonzero(tubes.leaks_to >= 0):
        leak[tubes.leaks_to[source], source] += leak_shares[source]
    leak = leak.tocsr()
    own = sparse.diags(1 - leak.sum(axis=0))
    # Half of the blocked tubes are blocked behind the leak: nothing gets out.
    shut = (tubes.fault == "blocked") & (rng.random(count) < 0.5)
    return (own + sparse.diags(1.0 - shut) @ leak).tocsr()
