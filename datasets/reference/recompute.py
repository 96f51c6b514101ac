"""Computes the "computed" columns of the tables in this folder anew, from the formulas alone, and compares.

    python3 datasets/reference/recompute.py

Needs numpy and scipy; ssim.csv also scikit-image. Prints the largest deviation of each table; exit 1 where one is beyond its digits.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np
from scipy import optimize, special

FOLDER = Path(__file__).parent


def table(name: str) -> list[dict[str, str]]:
    lines = (line for line in (FOLDER / name).read_text().splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def relative(value: float, known: str) -> float:
    return abs(value - float(known)) / max(abs(float(known)), 1e-300)


def between_discs(gap: np.ndarray) -> np.ndarray:
    """View factor of two equal coaxial discs of radius 1 (Howell, C-40), and its first two derivatives."""
    root = np.sqrt(gap * gap + 4)
    factor = 2 / (gap * gap + 2 + gap * root)
    slope = gap - (root + gap * gap / root) / 2
    bend = 1 - gap * (gap * gap + 6) / root**3
    return np.array([factor, slope, bend])


def transmission(length: float, reflectance: float, nodes: int = 120, inner: int = 80) -> float:
    """Share of Lambertian light that leaves a tube of radius 1 by its far end; the wall scatters `reflectance` of it.

    The wall's radiosity solves J(x) = ρ·(−F′(x)/2 + ∫ F″(|x − x′|)/2 · J(x′) dx′). It is a polynomial through Gauss–Legendre
    nodes; the integral is split where the kernel has its kink.
    """
    gauss, weight = special.roots_legendre(nodes)
    x = (gauss + 1) / 2 * length
    legendre = np.polynomial.legendre
    to_terms = np.linalg.inv(legendre.legvander(gauss, nodes - 1))
    g, w = special.roots_legendre(inner)
    kernel = np.zeros((nodes, nodes))
    for i, place in enumerate(x):
        for start, end in ((0.0, place), (place, length)):
            at = start + (g + 1) / 2 * (end - start)
            values = between_discs(np.abs(at - place))[2] / 2 * w * (end - start) / 2
            kernel[i] += values @ legendre.legvander(2 * at / length - 1, nodes - 1) @ to_terms
    radiosity = np.linalg.solve(np.eye(nodes) - reflectance * kernel, -reflectance * between_discs(x)[1] / 2)
    scattered = (weight * length / 2 * radiosity * -between_discs(length - x)[1]).sum()
    return float(between_discs(np.array(length))[0] + scattered)


def clausing() -> float:
    return max(relative(transmission(float(row["L_over_r"]), 1), row["T_this"]) for row in table("clausing.csv"))


def clausing_lossy() -> float:
    return max(relative(transmission(float(row["L_over_r"]), float(name[3:])), known)
               for row in table("clausing-lossy.csv") for name, known in row.items() if name.startswith("rho"))


def view_factor() -> float:
    return max(relative(float(between_discs(np.array(float(row["L_over_r"])))[0]), row["F_closed"])
               for row in table("view-factor.csv"))


def fresnel() -> float:
    worst = 0.0
    for row in table("fresnel.csv"):
        angle = np.radians(float(row["angle_deg"]))
        for name in (key[:-2] for key in row if key.endswith("_R")):
            index = complex(name[1:].replace("i", "j"))
            cos, other = np.cos(angle), np.sqrt(index**2 - np.sin(angle) ** 2)
            s = abs((cos - other) / (cos + other)) ** 2
            p = abs((index**2 * cos - other) / (index**2 * cos + other)) ** 2
            for kind, value in (("Rs", s), ("Rp", p), ("R", (s + p) / 2)):
                worst = max(worst, abs(value - float(row[f"{name}_{kind}"])))
    return worst


SPOTS = {
    "gauss": lambda x: np.exp(-x * x / 2),
    "airy": lambda x: 1.0 if x == 0 else (2 * special.j1(np.pi * x) / (np.pi * x)) ** 2,
    "slit": lambda x: np.sinc(x) ** 2,
}


def rayleigh() -> float:
    worst = 0.0
    for row in table("rayleigh.csv"):
        half, spot = float(row["separation"]) / 2, SPOTS[row["kind"]]
        both = lambda x: spot(x - half) + spot(x + half)
        places = np.linspace(0, 2 * half, 2001)
        best = places[np.argmax([both(x) for x in places])]
        step = places[1]
        found = optimize.minimize_scalar(lambda x: -both(x), bounds=(max(0, best - step), best + step), method="bounded",
                                         options={"xatol": 1e-10})
        peak = max(-found.fun, both(0.0))
        worst = max(worst, abs(both(0.0) - float(row["valley"])), abs(peak - float(row["peak"])))
    return worst


def srgb() -> float:
    curve = lambda v: v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4
    return max(abs(curve(int(row["code"]) / 255) - float(row["linear"])) for row in table("srgb.csv"))


def ssim() -> float:
    from skimage.metrics import structural_similarity

    worst = 0.0
    for row in table("ssim.csv"):
        height, width, span, sigma = int(row["height"]), int(row["width"]), float(row["range"]), float(row["sigma"])
        y, x = np.mgrid[:height, :width].astype(float)
        a = 0.5 + 0.4 * np.sin(0.9 * x + 0.3 * y) * np.cos(0.5 * y)
        b = 0.8 * a + 0.05 * np.sin(3.1 * x - 1.7 * y)
        b.ravel()[5::37] = 0
        size = 2 * int(3.5 * sigma + 0.5) + 1
        _, each = structural_similarity(a * span, b * span, gaussian_weights=True, sigma=sigma, win_size=size,
                                        use_sample_covariance=False, data_range=span, full=True)
        edge = size // 2
        inside = each[edge:height - edge, edge:width - edge]
        worst = max(worst, abs(inside.mean() - float(row["mean"])), abs(inside.min() - float(row["least"])))
    return worst


# Half a unit of the last digit that each table gives, doubled; relative where its figures span decades.
CHECKS = {
    "clausing.csv": (clausing, 1e-8),
    "clausing-lossy.csv": (clausing_lossy, 1e-8),
    "view-factor.csv": (view_factor, 1e-9),
    "fresnel.csv": (fresnel, 1e-8),
    "rayleigh.csv": (rayleigh, 1e-7),
    "srgb.csv": (srgb, 1e-10),
    "ssim.csv": (ssim, 1e-11),
}


def main() -> None:
    failed = False
    for name, (check, most) in CHECKS.items():
        try:
            worst = check()
        except ImportError as missing:
            print(f"{name}: skipped, needs {missing.name}")
            continue
        failed |= not worst <= most
        print(f"{name}: largest deviation {worst:.1e}, {'within' if worst <= most else 'BEYOND'} {most:.0e}")
    sys.exit(failed)


if __name__ == "__main__":
    main()
