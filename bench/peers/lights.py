"""The light of every cell in every shot of many sessions, without photos.

    python3 bench/peers/lights.py OUT.json --seed 700 --sessions 40 --preset quick

What render.py would photograph is written as numbers, with noise of a stated
size: what a measurement makes of cells' light is tried on many sessions in
the time that a few take with photos. Each session is an object with
``session`` (a session.yaml of photos that aren't there), ``shots`` (name of the
photo, and for each cell in reading order ``light`` and its standard uncertainty
``sigma``) and ``truth`` as in truth.json, without places in photos.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

import numpy as np

from pairs import PairModel
from render import session_yaml
from settings import PRESETS, draw, generator, parse_override
from shots import plan_shots
from truth import light_truth
from tubes import build_tubes, lit_by


def session(preset: str, seed: int, overrides: dict[str, Any]) -> dict[str, Any]:
    """One session; the same preset, seed and overrides give the same one."""
    settings = draw(preset, seed, overrides)
    tubes = build_tubes(settings, seed)
    model = PairModel(settings, tubes.acceptance)
    shots = plan_shots(settings, seed, tubes, model)
    rng = generator(seed, "light-noise", settings["session"])
    noise = settings["light.noise"]
    lit = [shot for shot in shots if shot.kind not in ("dark", "bare")]
    taken = []
    for shot in lit:
        exact = lit_by(tubes, settings, shot)
        # Photon noise: the brightest cell's is the stated share of its light; even light is
        # never as faint as a lamp's.
        share = min(noise, 0.003) if shot.kind == "even" else noise
        top = exact.max()
        sigma = share * np.sqrt(top * (exact + 0.01 * top))
        taken.append({
            "photo": f"{shot.name}.jpg",
            "light": (exact + sigma * rng.standard_normal(len(exact))).tolist(),
            "sigma": sigma.tolist()})
    return {"session": session_yaml(settings, lit, taken), "shots": taken,
            "truth": light_truth(settings, seed, tubes, model, shots)}


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("file", type=Path)
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--sessions", type=int, default=1)
    parser.add_argument("--preset", choices=PRESETS, default="quick")
    parser.add_argument("--set", action="append", default=[], metavar="KEY=VALUE")
    given = parser.parse_args()
    try:
        overrides = dict(map(parse_override, given.set))
        sessions = [session(given.preset, given.seed + n, overrides)
                    for n in range(given.sessions)]
    except (KeyError, ValueError) as error:
        parser.error(str(error.args[0]))
    given.file.write_text(json.dumps(sessions))


if __name__ == "__main__":
    main()
