"""Presets of the renderer: every figure a session depends on, by name.

A value written as ``Span(low, high)`` is drawn evenly from the seed, a
``OneOf`` is picked from the seed; anything else is taken as it stands.
Lengths in mm, angles in degrees, times in seconds unless the name says so.
"""

from __future__ import annotations

import json
import zlib
from typing import Any, NamedTuple

import numpy as np


class Span(NamedTuple):
    """A figure drawn evenly between two bounds."""

    low: float
    high: float


class OneOf(NamedTuple):
    """A figure picked from a list."""

    values: tuple


DEFAULTS: dict[str, Any] = {
    # Which session of the array: camera, light, lamps' places and noise are drawn anew.
    "session": 0,
    # The array.
    "array.name": "Peer panel",
    "array.arrangement": "square",
    "array.shifted-rows": OneOf(("odd", "even")),
    "array.rows": 24,
    "array.columns": 30,
    # Packed: how many tubes, in how many grains, how unequal; aspect 0 is a ring, else a box's.
    "array.tubes": 300,
    "array.grains": 4,
    "array.diameter-scatter": 0.01,
    "array.packing-aspect": OneOf((0.0, 1.4)),
    "array.tube-length": 150.0,
    "array.bore": 2.6,
    "array.back-pitch": 3.0,
    "array.front-pitch": 4.2,
    "array.back-jitter-pitches": Span(0.01, 0.02),
    "array.pointing-jitter-deg": Span(0.06, 0.12),
    "array.transmission-scatter": 0.03,
    "array.width-scatter": 0.02,
    "array.bow-scatter": 0.0,      # mm each way, of tubes without a fault
    "array.bulge-pitches": Span(0.0, 0.15),
    "array.crosstalk": Span(0.003, 0.012),
    # Acceptance: overlap of two circles plus a wide glossy tail.
    "acceptance.tail-share": Span(0.2, 0.6),
    "acceptance.tail-deg": Span(1.6, 2.4),
    "acceptance.tail-shape": OneOf(("gaussian", "exponential")),
    # Faults: shares of all tubes; a cluster is a patch of blocked tubes.
    "faults.blocked": 0.015,
    "faults.clusters": 1,
    "faults.cluster-share": 0.01,
    "faults.cluster-at-rim": 0.0,
    "faults.weak": 0.02,
    "faults.bent": 0.01,
    "faults.misaimed": 0.01,
    "faults.open": 0.0,
    "faults.leaky": 0.0,
    "faults.dead-column": 0,       # this column is blocked from top to bottom
    "faults.misaim-deg": [0.6, 1.6],
    "faults.bow": [0.6, 2.0],
    "faults.open-factor": [5.0, 40.0],
    # The sheet.
    "sheet.core-pitches": Span(0.05, 0.09),
    "sheet.halo-share": Span(0.03, 0.06),
    "sheet.halo-pitches": Span(0.5, 1.2),
    "sheet.disk-roundness": Span(-0.1, 0.1),
    "sheet.disk-scatter": 0.0,
    "sheet.texture": 0.0,          # deviation of the paper's transmittance
    "sheet.cloud-pitches": 0.5,    # how wide its clouds are, at most (standard deviation)
    # True: light that goes straight through a tube lights only the part of its
    # exit that the lamp sees through the entrance; false: the whole disk.
    "sheet.crescents": False,
    "sheet.margin-pitches": Span(1.2, 2.4),
    # The light.
    "light.gradient": Span(0.0, 0.08),
    "light.stray": Span(0.002, 0.01),
    "light.level": Span(0.3, 1.5),
    "light.lamp-level": Span(0.03, 0.3),
    "light.lamp-diameter": Span(3.0, 6.0),
    "light.lamp-scatter": 0.003,
    "light.noise": 0.0,            # of the brightest cell, relative; only lights.py uses it
    # The camera.
    "camera.pitch-px": Span(38.0, 42.0),
    "camera.margin-pitches": 2.8,
    "camera.tilt-deg": Span(0.0, 1.5),
    "camera.roll-deg": Span(-1.0, 1.0),
    "camera.distance-diagonals": Span(1.5, 3.0),
    "camera.distortion": Span(-0.01, 0.01),
    "camera.vignetting": Span(0.05, 0.2),
    "camera.blur-px": Span(0.6, 1.0),
    "camera.drift-px": 0.3,
    "camera.full-well": Span(10000.0, 30000.0),
    "camera.read-noise": 3.0,
    "camera.offset": 0.0,
    "camera.iso": 100,
    "camera.lamp-iso": OneOf((100, 200, 400)),
    "camera.aperture": 1.8,
    "camera.tone": "srgb",
    "camera.file": "jpg",
    "camera.noise-blur-px": 0.0,   # what demosaicing and denoising do to noise
    "camera.sharpen": 0.0,         # unsharp mask on the encoded picture, 2 px
    "camera.quality": 95,
    "camera.chroma": "4:2:0",
    "camera.orientation": 1,
    "camera.peak": Span(0.75, 0.9),
    "camera.even-peak": None,      # as camera.peak, for the even shots alone
    "camera.times": OneOf(("stops", "any")),
    "camera.moved-px": 0.0,        # the last shot, beside its drift
    # The shots.
    "shots.dark-repeats": 1,
    "shots.even-repeats": 1,
    "shots.bare": False,
    "shots.sweep-columns": 3,
    "shots.sweep-rows": 3,
    "shots.sweep-triangles": False, # instead of the grid: nine places in three triangles
    "shots.sweep-distance": Span(1500.0, 2500.0),
    "shots.sweep-repeats": 1,
    "shots.pair-distances": 6,
    "shots.pair-nudges": 2,
    "shots.pair-turned": OneOf((0, 90)),
    "shots.pair-spacing": None,    # mm; else the one that merges at shots.pair-crossing
    "shots.pair-range": [0.6, 1.5],
    "shots.pair-crossing": Span(1600.0, 2600.0),
    "shots.tape-error": 0.0,       # of a lamp's distance, mm
    "shots.tape-share": 0.0,       # likewise, as a share of it
    "shots.place-error": 0.0,      # of a lamp's place across and up, mm
    "shots.singles": 0,
}

HEX = {"array.arrangement": "hexagonal", "array.rows": 26}

PRESETS: dict[str, dict[str, Any]] = {
    "clean": {},
    "small": {
        "array.rows": 12, "array.columns": 15,
        "camera.pitch-px": Span(19.0, 22.0),
        "camera.margin-pitches": 12.0,
        "shots.sweep-columns": 0, "shots.sweep-rows": 0,
        "shots.pair-distances": 4, "shots.pair-nudges": 1,
    },
    "harsh": {
        "array.bulge-pitches": Span(0.35, 0.5),
        "array.back-jitter-pitches": Span(0.02, 0.03),
        "faults.blocked": 0.04, "faults.clusters": 7,
        "faults.cluster-share": 0.11, "faults.cluster-at-rim": 0.7,
        "faults.weak": 0.03, "faults.bent": 0.02, "faults.misaimed": 0.02,
        "faults.open": 0.003,
        "sheet.halo-share": Span(0.06, 0.1),
        "sheet.halo-pitches": Span(0.8, 2.0),
        "sheet.texture": 0.01, "sheet.disk-scatter": 0.05,
        "light.gradient": Span(0.2, 0.3), "light.stray": Span(0.02, 0.05),
        "camera.tilt-deg": Span(5.0, 6.0),
        "camera.roll-deg": OneOf((-6.0, -4.0, 3.0, 6.0)),
        "camera.distortion": OneOf((-0.05, 0.04)),
        "camera.vignetting": Span(0.25, 0.4),
        "camera.blur-px": Span(1.0, 1.8),
        "camera.drift-px": 0.8, "camera.quality": 90, "shots.tape-error": 3.0,
        "camera.full-well": Span(8000.0, 12000.0),
    },
    "hex": HEX,
    "tiny-pitch": {"camera.pitch-px": 8.0, "camera.margin-pitches": 6.0},
    "big-pitch": {
        "array.rows": 10, "array.columns": 12, "camera.pitch-px": 80.0,
    },
    "large": {
        "array.rows": 50, "array.columns": 70,
        "camera.pitch-px": Span(52.0, 54.0),
        "shots.sweep-columns": 0, "shots.sweep-rows": 0,
        "shots.pair-distances": 0,
    },
    "sweep": {
        "acceptance.tail-share": Span(0.75, 0.95),
        "acceptance.tail-deg": Span(3.2, 4.5),
        "faults.bent": 0.025, "faults.misaimed": 0.025,
        "faults.leaky": 0.012, "faults.open": 0.002,
        "shots.bare": True, "shots.sweep-columns": 9, "shots.sweep-rows": 7,
        "shots.pair-distances": 0, "shots.singles": 10,
    },
    "crescent": {
        "acceptance.tail-share": Span(0.05, 0.15), "sheet.crescents": True,
        "array.bore": 2.6, "array.front-pitch": 3.6,
    },
    "phone": {
        "camera.noise-blur-px": 0.6, "camera.sharpen": 0.5,
        "camera.times": "any", "camera.orientation": OneOf((3, 6, 8)),
        "camera.quality": 92,
    },
    "judged": {
        "array.arrangement": OneOf(("square", "hexagonal")),
        "array.rows": 9, "array.columns": 11, "array.front-pitch": Span(3.4, 4.0),
        "array.bow-scatter": 0.05,
        "acceptance.tail-share": Span(0.1, 0.95), "acceptance.tail-deg": Span(1.6, 3.2),
        "faults.blocked": 0.02, "faults.clusters": 0, "faults.open": 0.01, "faults.leaky": 0.02,
        "sheet.texture": Span(0.0, 0.014), "sheet.cloud-pitches": Span(0.5, 1.5),
        "camera.pitch-px": Span(14.0, 18.0),
        "shots.bare": OneOf((True, False)),
        "shots.sweep-columns": 6, "shots.sweep-rows": 5,
        "shots.sweep-distance": Span(900.0, 2500.0),
        "shots.pair-distances": 4, "shots.pair-crossing": Span(800.0, 2600.0),
        "shots.tape-error": 1.0, "shots.tape-share": 0.001, "shots.place-error": 1.0,
        "shots.singles": 3,
    },
    "black": {
        "array.rows": 9, "array.columns": 11, "array.front-pitch": 3.45,
        "array.transmission-scatter": 0.05, "array.width-scatter": 0.0, "array.crosstalk": 0.0,
        "array.bulge-pitches": 0.0, "acceptance.tail-share": 0.0,
        **{f"faults.{name}": 0.0 for name in ("blocked", "weak", "bent", "misaimed")},
        "faults.clusters": 0,
        "sheet.halo-share": 0.0, "sheet.core-pitches": 0.03, "sheet.disk-roundness": 0.0,
        "light.lamp-diameter": 1.0,
        "camera.pitch-px": 18.0, "camera.tone": "linear", "camera.file": "png",
        "shots.sweep-columns": 8, "shots.sweep-rows": 6, "shots.sweep-distance": 900.0,
        "shots.pair-distances": 4, "shots.pair-crossing": 800.0, "shots.pair-turned": 0,
    },
    "quick": {
        "array.arrangement": OneOf(("square", "hexagonal")),
        "array.rows": 9, "array.columns": 11, "array.front-pitch": Span(3.15, 3.5),
        "array.bow-scatter": 0.03, "array.transmission-scatter": Span(0.02, 0.15),
        "acceptance.tail-share": Span(0.1, 0.95), "acceptance.tail-deg": Span(1.6, 3.2),
        "faults.bent": 0.0, "faults.clusters": 0,
        "shots.sweep-columns": 2, "shots.sweep-rows": 2,
        "light.noise": OneOf((0.002, 0.004)),
        "shots.pair-distances": 6, "shots.pair-crossing": Span(1500.0, 2600.0),
        "shots.tape-error": 1.0, "shots.tape-share": 0.001, "shots.place-error": 1.0,
    },
    "bundle": {
        "array.arrangement": "packed", "array.tube-length": 90.0, "array.bore": 2.5,
        "array.front-pitch": 3.0, "array.back-jitter-pitches": 0.0, "array.bulge-pitches": 0.0,
        "array.bow-scatter": 0.03,
        "acceptance.tail-share": Span(0.1, 0.9), "acceptance.tail-deg": Span(2.0, 3.5),
        "faults.blocked": 0.03, "faults.clusters": 0,
        "camera.pitch-px": Span(14.0, 18.0),
        "shots.even-repeats": 2, "shots.bare": True,
        "shots.sweep-columns": 7, "shots.sweep-rows": 7, "shots.sweep-distance": 500.0,
        "shots.pair-distances": 5, "shots.pair-nudges": 2, "shots.pair-crossing": Span(500.0, 900.0),
        "shots.tape-error": 1.0, "shots.place-error": 0.5,
    },
    "linear": {"camera.tone": "linear", "camera.file": "png", "shots.bare": True},
    "png": {"camera.file": "png"},
    "pairs": {
        "shots.even-repeats": 2,
        "shots.sweep-columns": 3, "shots.sweep-rows": 3,
        "shots.pair-distances": 7, "shots.pair-nudges": 3,
    },
}


def draw(preset: str, seed: int, overrides: dict[str, Any]) -> dict[str, Any]:
    """All settings of one session.

    Each figure is drawn from a generator of its own (seed and name), so an
    override leaves the other figures as they were.
    Raises KeyError for an unknown preset or setting.
    """
    if preset not in PRESETS:
        raise KeyError(f"unknown preset {preset!r}, known: {', '.join(PRESETS)}")
    for name in overrides:
        if name not in DEFAULTS:
            raise KeyError(f"unknown setting {name!r}")
    settings = {}
    for name, value in {**DEFAULTS, **PRESETS[preset], **overrides}.items():
        anew = name.startswith(("light.", "camera."))
        rng = generator(seed, name, overrides.get("session", 0) if anew else 0)
        if isinstance(value, Span):
            value = float(rng.uniform(value.low, value.high))
        elif isinstance(value, OneOf):
            value = value.values[rng.integers(len(value.values))]
        settings[name] = value
    return settings


def generator(seed: int, purpose: str, session: int = 0) -> np.random.Generator:
    """A random generator for one purpose of an array, or of one of its sessions."""
    return np.random.default_rng(
        [seed, zlib.crc32(purpose.encode()), *([session] if session else [])])


def parse_override(text: str) -> tuple[str, Any]:
    """``key=value`` from the command line; the value is JSON or plain text."""
    key, mark, value = text.partition("=")
    if not mark:
        raise ValueError(f"--set wants key=value, got {text!r}")
    try:
        return key, json.loads(value)
    except json.JSONDecodeError:
        return key, value
