"""Make a synthetic bench session with known truth.

    python3 bench/peers/render.py OUT_FOLDER --seed 1 --preset clean

Writes session.yaml, the photos and truth.json. Shares no code with Twolamp.
"""

from __future__ import annotations

import argparse
import json
import sys
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

import photofile
from breaks import BREAKS
from camera import Projection, choose_exposure, expose
from pairs import PairModel
from settings import PRESETS, draw, generator, parse_override
from sheet import Direct, Light, Sheet
from shots import Shot, plan_shots
from truth import truth
from tubes import Tubes, build_tubes


class Bench:
    """One bench: array, sheet, lamps and camera, ready to be photographed."""

    def __init__(self, settings: dict[str, Any], seed: int):
        self.settings, self.seed = settings, seed
        self.tubes: Tubes = build_tubes(settings, seed)
        self.model = PairModel(settings, self.tubes.acceptance)
        self.shots = plan_shots(settings, seed, self.tubes, self.model)
        half = (np.abs(self.tubes.back).max(axis=0)
                + settings["camera.margin-pitches"] * settings["array.back-pitch"])
        corners = half * np.array([[-1, -1], [-1, 1], [1, -1], [1, 1], [0, 1], [1, 0]])
        self.projection = Projection(settings, corners, generator(seed, "camera", settings["session"]))
        self.sheet = Sheet(settings, seed, self.tubes.back, self.projection)
        self._steadiness = generator(seed, "steadiness", settings["session"])
        self._noise = generator(seed, "noise", settings["session"])

    def light(self, shot: Shot) -> Light:
        """Light on the sheet, in full scale per second."""
        tubes, s = self.tubes, self.settings
        even = s["light.level"] * self.sheet.evenness(tubes.back)
        nothing = np.zeros(len(tubes.row))
        if shot.kind == "dark":
            return Light(nothing)
        if shot.kind == "even":
            return Light(tubes.exits @ (tubes.gain * even))
        if shot.kind == "bare":
            return Light(nothing, s["light.level"] / tubes.design_transmission)
        if shot.kind == "single":
            nothing[shot.tube] = s["light.level"] * tubes.gain[shot.tube]
            return Light(tubes.exits @ nothing)
        strength = s["light.level"] * s["light.lamp-level"] * 4  # = (2 m)^2
        light = Light(nothing)
        for place, distance in shot.lamps:
            lamp = tubes.lamp_light(place, distance, s["light.lamp-diameter"])
            power = strength * self._steadiness.normal(1, s["light.lamp-scatter"])
            light.exits += power * (tubes.exits @ lamp.entering)
            if s["sheet.crescents"]:
                flux = power * tubes.exits.diagonal() * lamp.direct
                light.exits -= flux
                light.direct.append(Direct(flux, lamp.shifts, lamp.magnified))
        return light

    def photograph(self, shot: Shot, first_even: bool,
                   dark_for: Fraction) -> tuple[np.ndarray, dict]:
        """Pixels of one shot, and what is true of the photo."""
        s = self.settings
        drift = np.zeros(2)
        if not first_even:
            drift = np.clip(self._steadiness.normal(0, s["camera.drift-px"], 2), -2, 2)
        if shot is self.shots[-1]:
            drift = drift + s["camera.moved-px"] * np.array([0.8, -0.6])
        light = self.light(shot)
        stray = s["light.stray"] * s["light.level"]
        picture = self.sheet.picture(light, stray, drift)
        iso = s["camera.lamp-iso"] if shot.kind in ("lamp", "pair") else s["camera.iso"]
        if shot.kind == "dark":
            exposure, iso = dark_for, s["camera.iso"]
        else:
            at = np.rint(self.projection.to_px(self.tubes.back)).astype(int)
            peak = picture[at[:, 1], at[:, 0]][self.tubes.fault != "open"].max()
            aim = shot.kind == "even" and s["camera.even-peak"] or s["camera.peak"]
            exposure = choose_exposure(peak * iso / 100, aim, s["camera.times"])
        pixels = expose(picture, exposure, iso, s, self._noise)
        return pixels, {"kind": shot.kind, "driftPx": drift.tolist(),
                        "exposureS": float(exposure), "exposure": exposure, "iso": iso}


def render(folder: Path, settings: dict[str, Any], seed: int) -> Bench:
    """Write a whole session into the folder; returns its bench."""
    folder.mkdir(parents=True, exist_ok=True)
    bench = Bench(settings, seed)
    # The dark shot is exposed as long as the longest of the others: taken last.
    order = sorted(bench.shots, key=lambda shot: shot.kind == "dark")
    longest = Fraction(0)
    facts: dict[str, dict] = {}
    for shot in order:
        first_even = shot.kind == "even" and not any(
            f["kind"] == "even" for f in facts.values())
        pixels, fact = bench.photograph(shot, first_even, longest)
        same_light = float(fact["exposure"] * fact["iso"] / settings["camera.iso"])
        longest = max(longest, Fraction(round(min(same_light, 30) * 1000), 1000))
        fact["photo"] = write_photo(folder, shot.name, pixels, fact, settings)
        facts[shot.name] = fact
    photos = [facts[shot.name] for shot in bench.shots]
    (folder / "session.yaml").write_text(session_yaml(settings, bench.shots, photos))
    for fact in photos:
        fact["exposure"] = str(fact["exposure"])
    truths = truth(settings, seed, bench.tubes, bench.projection, bench.model,
                   bench.shots, photos)
    (folder / "truth.json").write_text(json.dumps(truths, indent=1))
    return bench


def write_photo(folder: Path, name: str, pixels: np.ndarray, fact: dict,
                settings: dict[str, Any]) -> str:
    """Write one photo, return its file name."""
    turn = settings["camera.orientation"]
    if settings["camera.file"] == "jpg":
        exif = photofile.exif_segment(fact["exposure"], fact["iso"],
                                      settings["camera.aperture"], turn)
        photofile.write_jpeg(folder / f"{name}.jpg",
                             photofile.turn_for_orientation(pixels, turn),
                             settings["camera.quality"], settings["camera.chroma"], exif)
        return f"{name}.jpg"
    photofile.write_png(folder / f"{name}.png", pixels)
    return f"{name}.png"


def session_yaml(settings: dict[str, Any], shots: list[Shot], photos: list[dict]) -> str:
    """The session file; PNG shots state their exposure, JPEGs have EXIF."""
    s = settings
    lines = [
        "format: twolamp-session/1", "array:", f"  name: {s['array.name']}",
        f"  arrangement: {s['array.arrangement']}"]
    if s["array.arrangement"] == "hexagonal":
        lines.append(f"  shifted-rows: {s['array.shifted-rows']}")
    if s["array.arrangement"] == "packed":
        lines[0] = "format: twolamp-session/2"
        lines.append(f"  tubes: {s['array.tubes']}")
    else:
        lines += [f"  rows: {s['array.rows']}", f"  columns: {s['array.columns']}"]
    for key, name in (("tube-length", "tube-length"), ("bore", "tube-bore"),
                      ("back-pitch", "back-pitch"), ("front-pitch", "front-pitch")):
        lines.append(f"  {name}: {s[f'array.{key}']:g} mm")
    lines += ["criterion: rayleigh", f"lamp-diameter: {s['light.lamp-diameter']:.3g} mm", "camera:", f"  tone: {s['camera.tone']}", "shots:"]
    for shot, photo in zip(shots, photos):
        entry = {"photo": photo["photo"], "kind": shot.kind, **shot.stated}
        if s["camera.file"] == "png":
            entry |= {"exposure": stated_time(photo["exposure"]), "iso": str(photo["iso"]),
                      "aperture": f"{s['camera.aperture']:g}"}
        lines.append("  - { " + ", ".join(f"{k}: {v}" for k, v in entry.items()) + " }")
    return "\n".join(lines) + "\n"


def stated_time(exposure: Fraction) -> str:
    """``1/8 s`` or ``1.3 s``."""
    if exposure.numerator == 1:
        return f"{exposure} s"
    return f"{float(exposure):g} s"


def main(arguments: list[str]) -> int:
    """Command line; returns the exit code."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--preset", choices=PRESETS, default="clean")
    parser.add_argument("--break", dest="spoil", choices=BREAKS, metavar="NAME",
                        help="a session of the preset small, spoilt: " + ", ".join(BREAKS))
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE")
    given = parser.parse_args(arguments)
    spoil = BREAKS.get(given.spoil)
    preset = "small" if spoil else given.preset
    try:
        overrides = dict(map(parse_override, given.set))
        settings = draw(preset, given.seed,
                        {**(spoil.settings if spoil else {}), **overrides})
    except (KeyError, ValueError) as error:
        parser.error(str(error.args[0]))
    render(given.folder, settings, given.seed)
    if spoil:
        spoil.apply(given.folder)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
