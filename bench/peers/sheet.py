"""Light on the translucent sheet, and the picture the lens makes of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy import fft, interpolate, ndimage, special

from camera import Projection
from settings import generator


class Sheet:
    """Renders the light that leaves the tubes, as a picture without noise."""

    def __init__(self, settings: dict[str, Any], seed: int, back: np.ndarray,
                 projection: Projection):
        """back (N, 2): where the tubes end on the sheet, in mm."""
        self._settings, self._back, self._projection = settings, back, projection
        self._pitch, self._bore = settings["array.back-pitch"], settings["array.bore"]
        rng = generator(seed, "sheet")
        self._round = rng.normal(settings["sheet.disk-roundness"],
                                 settings["sheet.disk-scatter"], len(back))
        self._sigma = np.hypot(
            settings["sheet.core-pitches"] * self._pitch,
            np.sqrt(settings["camera.blur-px"] ** 2 + 1 / 12) / projection.scale)
        self._profile_step, self._profiles = self._core_profiles()
        self._to_mm = projection.px_to_mm_slopes(back)
        self._middles = projection.to_px(back)
        half = (np.ptp(back, axis=0) / 2)
        self._half = half
        self._margin = half + self._pitch * (0.5 + settings["sheet.margin-pitches"])
        # A later session has other light, and its sheet is laid anew.
        if settings["session"]:
            rng = generator(seed, "sheet", settings["session"])
        self._gradient_way = rng.uniform(0, 2 * np.pi)
        self._stray = rng.uniform(-0.3, 0.3, 5)
        self._texture = self._fibres(rng)
        self._vignetting = projection.vignetting(settings["camera.vignetting"])

    def evenness(self, points_mm: np.ndarray) -> np.ndarray:
        """The even light at sheet points (..., 2): 1 on average, darker to one side.

        The light that enters a tube is that at its end on the sheet, so that
        the bare sheet sees the same light as the array.
        """
        u, v = (points_mm / self._half).T if points_mm.ndim == 2 else np.moveaxis(
            points_mm / self._half, -1, 0)
        along = u * np.cos(self._gradient_way) + v * np.sin(self._gradient_way)
        across = -u * np.sin(self._gradient_way) + v * np.cos(self._gradient_way)
        g = self._settings["light.gradient"]
        return 1 + g / 2 * (np.tanh(along) / np.tanh(1.0)) - g / 6 * across**2

    def picture(self, light: "Light", stray: float, drift: np.ndarray) -> np.ndarray:
        """The picture (H, W) of one shot.

        stray: room light on the sheet; drift: how far the picture moved
        (x, y, px).
        """
        coarse = self._coarse_points(drift)
        all_light = light.exits + sum(d.flux for d in light.direct)
        soft = self._halo(all_light, coarse.points_mm) * self._settings["sheet.halo-share"]
        soft += light.bare * self.evenness(coarse.points_mm)
        inside = self._inside(coarse.points_mm)
        picture = coarse.enlarge(soft)
        self._add_cores(picture, light.exits, drift)
        for direct in light.direct:
            self._add_crescents(picture, direct, drift)
        if self._settings["sheet.texture"] > 0:
            picture *= coarse.enlarge(self._texture_at(coarse.points_mm))
        cover = 1 / (1 + np.exp(-np.clip(coarse.enlarge(inside) / 0.12, -40, 40)))
        picture *= cover
        picture += (0.25 + 0.75 * cover) * stray * coarse.enlarge(
            self._stray_shape(coarse.points_mm))
        return picture * self._vignetting

    def _core_profiles(self) -> tuple[float, np.ndarray]:
        """Radial profiles of a spot without halo: plain, and its roundness.

        A disk of the bore, blurred by the sheet's core, the lens and the
        pixel (its box as a Gaussian of the same variance).
        """
        sigma = self._sigma
        radius = self._bore / 2
        step = sigma / 25
        r = np.arange(0, radius + 5 * sigma, step)[:, None]
        edges = np.linspace(0, radius, 400)
        rho = (edges[1:] + edges[:-1]) / 2
        area = np.pi * np.diff(edges**2)
        kernel = special.ive(0, r * rho / sigma**2) * np.exp(
            -(r - rho) ** 2 / (2 * sigma**2)) / (2 * np.pi * sigma**2)
        plain = kernel @ area
        rounded = kernel @ (area * (2 * (rho / radius) ** 2 - 1))
        return step, np.stack([plain, rounded])

    def _add_cores(self, picture: np.ndarray, exits: np.ndarray,
                   drift: np.ndarray) -> None:
        """Stamp the narrow part of every lit spot onto the picture, in place."""
        lit = np.flatnonzero(exits > 1e-7 * exits.max()) if exits.any() else []
        reach_mm = self._profile_step * (self._profiles.shape[1] - 1)
        reach = int(np.ceil(reach_mm * self._projection.scale * 1.25)) + 1
        offsets = np.arange(-reach, reach + 1)
        height, width = picture.shape
        padded = np.zeros((height + 2 * reach, width + 2 * reach))
        batch = max(1, 2_000_000 // len(offsets) ** 2)
        share = 1 - self._settings["sheet.halo-share"]
        for start in range(0, len(lit), batch):
            some = lit[start:start + batch]
            middle = self._middles[some] + drift
            nearest = np.rint(middle).astype(int)
            dx = offsets - (middle - nearest)[:, 0, None]
            dy = offsets - (middle - nearest)[:, 1, None]
            m = self._to_mm[some]
            across = m[:, 0, 0, None, None] * dx[:, None] + m[:, 0, 1, None, None] * dy[..., None]
            up = m[:, 1, 0, None, None] * dx[:, None] + m[:, 1, 1, None, None] * dy[..., None]
            at = np.hypot(across, up) / self._profile_step
            last = self._profiles.shape[1] - 1
            low = np.minimum(at.astype(int), last - 1)
            part = at - low
            outside = at > last
            value = np.zeros(at.shape)
            for weight, profile in zip((np.ones(len(some)), self._round[some]), self._profiles):
                value += weight[:, None, None] * (
                    profile[low] * (1 - part) + profile[low + 1] * part)
            value[outside] = 0
            value *= (share * exits[some])[:, None, None]
            rows = nearest[:, 1, None, None] + offsets[:, None] + reach
            columns = nearest[:, 0, None, None] + offsets + reach
            flat = rows * padded.shape[1] + columns
            padded += np.bincount(flat.ravel(), value.ravel(),
                                  padded.size).reshape(padded.shape)
        picture += padded[reach:-reach, reach:-reach]

    def _add_crescents(self, picture: np.ndarray, direct: "Direct",
                       drift: np.ndarray) -> None:
        """Add spots lit only where entrance and exit overlap, in place.

        Each is drawn five times finer than the photo, then blurred and
        averaged down.
        """
        fine, radius, scale = 5, self._bore / 2, self._projection.scale
        sigma_px = np.sqrt(max((self._sigma * scale) ** 2 - 1 / 12, 0.01))
        reach = int(np.ceil(radius * scale * 1.25 + 5 * sigma_px)) + 1
        offsets = (np.arange((2 * reach + 1) * fine) + 0.5) / fine - reach - 0.5
        dx, dy = np.meshgrid(offsets, offsets)
        share = 1 - self._settings["sheet.halo-share"]
        for i in np.flatnonzero(direct.flux > 1e-4 * direct.flux.max()):
            middle = self._middles[i] + drift
            nearest = np.rint(middle).astype(int)
            grid = np.stack([dx, dy], axis=-1) - (middle - nearest)
            mm = grid @ self._to_mm[i].T
            # Soft edge of one fine pixel: keeps the area to well below 1 %.
            inside = [np.clip((r - np.hypot(*np.moveaxis(mm - at, -1, 0)))
                              * scale * fine + 0.5, 0, 1)
                      for at, r in ((np.zeros(2), radius),
                                    (direct.shifts[i], radius * direct.magnified))]
            lens = ndimage.gaussian_filter(inside[0] * inside[1], sigma_px * fine)
            total = lens.sum()
            if total == 0:
                continue
            area = np.pi * radius**2 / abs(np.linalg.det(self._to_mm[i]))
            stamp = lens.reshape(2 * reach + 1, fine, 2 * reach + 1, fine).sum(axis=(1, 3))
            stamp *= share * direct.flux[i] * area / total
            _add_stamp(picture, stamp, nearest - reach)

    def _halo(self, exits: np.ndarray, points_mm: np.ndarray) -> np.ndarray:
        """Wide scatter exp(-r/l) of all spots at the given sheet points.

        Spots go onto a grid by cubic B-splines; disk and scatter are applied
        and the spline taken out by their transforms.
        """
        scale = self._settings["sheet.halo-pitches"] * self._pitch
        step = self._pitch / 6
        low = self._back.min(axis=0) - 8 * scale - self._pitch
        size = np.ceil((np.ptp(self._back, axis=0) + 16 * scale + 2 * self._pitch) / step)
        nx, ny = (fft.next_fast_len(int(n), real=True) for n in size)
        grid = np.zeros((ny, nx))
        place = (self._back - low) / step
        whole = np.floor(place).astype(int)
        t = place - whole
        weights = np.stack([(1 - t) ** 3, 3 * t**3 - 6 * t**2 + 4,
                            -3 * t**3 + 3 * t**2 + 3 * t + 1, t**3]) / 6
        for i in range(4):
            for j in range(4):
                np.add.at(grid, (whole[:, 1] + j - 1, whole[:, 0] + i - 1),
                          exits * weights[i, :, 0] * weights[j, :, 1])
        fx, fy = fft.rfftfreq(nx, step), fft.fftfreq(ny, step)[:, None]
        k = 2 * np.pi * np.hypot(fx, fy)
        disk_at = np.maximum(k * self._bore / 2, 1e-9)
        filtering = (1 + (k * scale) ** 2) ** -1.5 * 2 * special.j1(disk_at) / disk_at
        filtering /= (np.sinc(fx * step) * np.sinc(fy * step)) ** 4
        area = np.pi * self._bore**2 / 4 / step**2
        grid = fft.irfft2(fft.rfft2(grid) * filtering, s=grid.shape) * area
        at = (points_mm - low) / step
        return np.maximum(ndimage.map_coordinates(
            grid, [at[..., 1], at[..., 0]], order=3, mode="nearest"), 0)

    def _inside(self, points_mm: np.ndarray) -> np.ndarray:
        """Distance in mm to the sheet's window, positive inside."""
        middle = (self._back.min(axis=0) + self._back.max(axis=0)) / 2
        return (self._margin - np.abs(points_mm - middle)).min(axis=-1)

    def _stray_shape(self, points_mm: np.ndarray) -> np.ndarray:
        """Room light on the sheet: a smooth slope, about 1."""
        u, v = np.moveaxis(np.clip(points_mm / self._half, -2, 2), -1, 0)
        a, b, c, d, e = self._stray
        return np.maximum(1 + a * u + b * v + 0.5 * (c * u * v + d * u**2 + e * v**2), 0.05)

    def _fibres(self, rng: np.random.Generator) -> np.ndarray:
        """The paper's cloudiness: grid of 0.2 pitch, mean 0, deviation 1."""
        size = np.ceil(2 * (self._margin + 4 * self._pitch) / (0.2 * self._pitch)).astype(int)
        widest = 5 * self._settings["sheet.cloud-pitches"]
        clouds = sum(ndimage.gaussian_filter(rng.standard_normal(size[::-1]), s) * s
                     for s in (0.4 * widest, widest))
        return clouds / clouds.std()

    def _texture_at(self, points_mm: np.ndarray) -> np.ndarray:
        """Transmittance of the sheet at these points, 1 on average."""
        size = np.array(self._texture.shape[::-1])
        at = points_mm / (0.2 * self._pitch) + size / 2
        return 1 + self._settings["sheet.texture"] * ndimage.map_coordinates(
            self._texture, [at[..., 1], at[..., 0]], order=1, mode="reflect")

    def _coarse_points(self, drift: np.ndarray) -> "CoarseGrid":
        return CoarseGrid(self._projection, drift,
                          max(1, int(self._projection.scale * self._pitch / 8)))


@dataclass
class Direct:
    """Light of one lamp that goes straight through its tubes."""

    flux: np.ndarray               # (N) spread over the bore's area
    shifts: np.ndarray             # (N, 2) entrance as seen on the exit, mm
    magnified: float = 1.0         # its size there over the exit's


@dataclass
class Light:
    """What lights the sheet in one shot."""

    exits: np.ndarray              # (N) light out of each tube over its bore's area
    bare: float = 0.0              # illuminance of the uncovered sheet, without array
    direct: list[Direct] = field(default_factory=list)


def _add_stamp(picture: np.ndarray, stamp: np.ndarray, corner: np.ndarray) -> None:
    """Add a small picture to a large one, cut at its edges; corner: x, y."""
    x0, y0 = np.maximum(corner, 0)
    x1, y1 = np.minimum(corner + stamp.shape[::-1], picture.shape[::-1])
    if x0 < x1 and y0 < y1:
        picture[y0:y1, x0:x1] += stamp[y0 - corner[1]:y1 - corner[1],
                                       x0 - corner[0]:x1 - corner[0]]


class CoarseGrid:
    """Every q-th pixel with its place on the sheet, and the way back up."""

    def __init__(self, projection: Projection, drift: np.ndarray, every: int):
        self._width, self._height = projection.width, projection.height
        self._x = np.arange(-every, self._width + 2 * every, every, float)
        self._y = np.arange(-every, self._height + 2 * every, every, float)
        grid = np.stack(np.meshgrid(self._x, self._y), axis=-1)
        self.points_mm = projection.to_mm(grid - drift)

    def enlarge(self, values: np.ndarray) -> np.ndarray:
        """Values at the coarse points to every pixel, by cubic splines."""
        spline = interpolate.RectBivariateSpline(self._y, self._x, values)
        return spline(np.arange(self._height), np.arange(self._width))
