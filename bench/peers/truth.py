"""What the session really shows: truth.json, never read by the measurement."""

from __future__ import annotations

from typing import Any

import numpy as np

from acceptance import parts_width_deg
from camera import Projection
from pairs import CRITERIA, PairModel
from shots import Shot
from tubes import Tubes


def truth(settings: dict[str, Any], seed: int, tubes: Tubes, projection: Projection,
          model: PairModel, shots: list[Shot], photos: list[dict]) -> dict[str, Any]:
    """Everything a measurement is to be held against."""
    out = light_truth(settings, seed, tubes, model, shots)
    px, smooth_px = projection.to_px(tubes.back), projection.to_px(tubes.smooth_back)
    for cell, at, smooth_at in zip(out["cells"], px.tolist(), smooth_px.tolist()):
        cell["xPx"], cell["yPx"] = at
        cell["smoothXPx"], cell["smoothYPx"] = smooth_at
    return {**out, "photos": photos}


def light_truth(settings: dict[str, Any], seed: int, tubes: Tubes, model: PairModel,
                shots: list[Shot]) -> dict[str, Any]:
    """What doesn't depend on how the sheet is photographed."""
    least = CRITERIA["rayleigh"]
    out = {
        "format": "peer-truth/1", "seed": seed, "settings": settings,
        "typicalAbsoluteTransmission": None, "crosstalkKernel": None,
        "cells": None, "pairs": _pairs(shots, model),
    }
    spacings = {s.spacing for s in shots if s.kind == "pair"}
    for spacing in spacings:
        out["resolving"] = {
            "criterion": "rayleigh", "requiredDip": least, "spacingM": spacing / 1000,
            "distanceM": model.crossing(spacing, least) / 1000,
            "distanceScatteredM": model.crossing(spacing, least, scattered=True) / 1000,
            "sparrowDistanceM": model.crossing(spacing, CRITERIA["sparrow"]) / 1000,
        }
    light = tubes.exits @ tubes.gain
    typical = float(np.median(light[tubes.fault == "none"]))
    out["typicalAbsoluteTransmission"] = typical * tubes.design_transmission
    tested = [s.tube for s in shots if s.kind == "single"]
    if settings["array.arrangement"] != "packed":
        out["crosstalkKernel"] = _kernel(
            tubes, np.array(tested) if tested else np.flatnonzero(tubes.fault == "none"))
    out["cells"] = _cells(settings, tubes, light, typical, set(tested))
    return out


def _cells(settings: dict[str, Any], tubes: Tubes, light: np.ndarray, typical: float,
           tested: set[int]) -> list[dict]:
    length = settings["array.tube-length"]
    pointing = tubes.pointing
    error = pointing - (tubes.smooth_front - tubes.smooth_back) / length
    straight, _one = np.zeros(1), np.ones(1)
    design_width = parts_width_deg(tubes.acceptance, 1.0, straight, _one)
    shares = tubes.exits.tocsc()
    cells = []
    for i in range(len(tubes.row)):
        fault = str(tubes.fault[i])
        width = design_width * tubes.width[i]
        if fault == "bent":
            width = parts_width_deg(tubes.acceptance, tubes.width[i],
                                    tubes.part_shifts[i], tubes.part_weights[i])
        part = slice(shares.indptr[i], shares.indptr[i + 1])
        total = shares.data[part].sum()
        elsewhere = [
            {"row": int(tubes.row[j]), "column": int(tubes.column[j]), "share": float(v / total)}
            for j, v in zip(shares.indices[part], shares.data[part]) if j != i and v > 0]
        elsewhere.sort(key=lambda entry: -entry["share"])
        cells.append({
            "row": int(tubes.row[i]), "column": int(tubes.column[i]),
            "relativeTransmission": float(light[i] / typical),
            "absoluteTransmission": float(light[i] * tubes.design_transmission),
            "pointing": {
                "acrossDeg": _deg(pointing[i, 0]), "upDeg": _deg(pointing[i, 1]),
                "errorAcrossDeg": _deg(error[i, 0]), "errorUpDeg": _deg(error[i, 1]),
                "errorDeg": _deg(np.hypot(*error[i])),
                "acceptanceWidthDeg": float(width)},
            "fault": fault,
            "bowMm": float(tubes.bow[i]) if fault == "bent" else None,
            "cureShiftMm": {"across": float(-error[i, 0] * length),
                            "up": float(-error[i, 1] * length)}
            if fault == "misaimed" else None,
            "crosstalk": {"tested": i in tested,
                          "total": sum(e["share"] for e in elsewhere),
                          "shares": elsewhere},
        })
    return cells


def _deg(slope: float) -> float:
    return float(np.degrees(np.arctan(slope)))


def _pairs(shots: list[Shot], model: PairModel) -> list[dict]:
    return [{
        "photo": shot.name, "distanceM": shot.distance / 1000,
        "spacingM": shot.spacing / 1000, "turnedDeg": shot.turned,
        "separationCells": model.separation_cells(shot.spacing, shot.distance),
        "dip": model.dip(shot.spacing, shot.distance),
        "dipScattered": model.dip(shot.spacing, shot.distance, scattered=True),
    } for shot in shots if shot.kind == "pair"]


def _kernel(tubes: Tubes, sources: np.ndarray) -> list[list[float]]:
    """Mean share by offset, 5 rows x 5 columns, the tube itself in the middle."""
    kernel = np.zeros((5, 5))
    shares = tubes.exits.tocsc()
    for j in sources:
        part = slice(shares.indptr[j], shares.indptr[j + 1])
        total = shares.data[part].sum()
        for i, value in zip(shares.indices[part], shares.data[part]):
            down, right = tubes.row[i] - tubes.row[j], tubes.column[i] - tubes.column[j]
            kernel[down + 2, right + 2] += value / total / len(sources)
    return kernel.tolist()
