"""Checks of the renderer against closed forms: python3 -m unittest in this folder."""

from __future__ import annotations

import subprocess
import tempfile
import unittest
from fractions import Fraction
from pathlib import Path

import numpy as np

import photofile
from acceptance import Acceptance, parts_width_deg
from camera import Projection, expose
from pairs import PairModel
from render import Bench
from settings import draw
from sheet import Direct, Light

PLAIN = {
    "camera.tilt-deg": 0.0, "camera.roll-deg": 0.0, "camera.distortion": 0.0,
    "camera.vignetting": 0.0, "sheet.disk-roundness": 0.0, "light.stray": 0.0,
    "light.gradient": 0.0, "sheet.margin-pitches": 14.0, "camera.margin-pitches": 12.0,
    "array.back-pitch": 3.0, "array.front-pitch": 4.2,
}


class AcceptanceTest(unittest.TestCase):
    def test_absorbing_tube_passes_the_view_factor_of_two_disks(self):
        # F = (S - sqrt(S^2 - 4)) / 2, S = 2 + (L/r)^2: equal coaxial disks.
        size = 2 + (150 / 1.3) ** 2
        factor = (size - np.sqrt(size**2 - 4)) / 2
        passed = Acceptance(2.6 / 150, 0.0, 2.0, "gaussian").solid_angle / np.pi
        self.assertAlmostEqual(passed / factor, 1, delta=3e-4)

    def test_absorbing_tube_is_0_808_bores_per_length_wide(self):
        # OEIS A133741: unit disks that share half their area.
        acceptance = Acceptance(2.6 / 150, 0.0, 2.0, "gaussian")
        width = parts_width_deg(acceptance, 1.0, np.zeros(1), np.ones(1))
        exact = 2 * np.degrees(np.arctan(0.8079455065990344 / 2 * 2.6 / 150))
        self.assertAlmostEqual(width / exact, 1, delta=2e-3)

    def test_tails_have_their_stated_width(self):
        for shape in ("gaussian", "exponential"):
            tail = Acceptance(0.001, 1.0, 3.0, shape)
            self.assertAlmostEqual(float(tail(np.tan(np.radians(1.5)))), 0.5, delta=1e-4)


class PairTest(unittest.TestCase):
    def test_two_gaussians_merge_two_deviations_apart(self):
        # Sum of two equal Gaussians has one maximum up to a distance of 2 sigma.
        settings = draw("clean", 1, {
            "acceptance.tail-share": 1.0, "acceptance.tail-shape": "gaussian",
            "acceptance.tail-deg": 2.0, "light.lamp-diameter": 0.001, **PLAIN})
        model = PairModel(settings, Acceptance(0.001, 1.0, 2.0, "gaussian"))
        sigma = np.tan(np.radians(1.0)) / np.sqrt(2 * np.log(2))
        spacing, to_apex = 100.0, 1.2 / 4.2 / 150
        merged = spacing / (2 * sigma)
        # Slope between the lamps, as the array sees it: spacing / distance.
        self.assertAlmostEqual(model.dip(spacing, merged * 1.01), 0, delta=1e-9)
        self.assertGreater(model.dip(spacing, merged * 0.97), 1e-5)
        at = merged / 1.6
        x = np.linspace(-4, 4, 80001)
        total = np.exp(-(x - 1.6) ** 2 / 2) + np.exp(-(x + 1.6) ** 2 / 2)
        self.assertAlmostEqual(model.dip(spacing, at), 1 - total[40000] / total.max(), delta=1e-4)
        self.assertAlmostEqual(model.separation_cells(spacing, 1000.0),
                               spacing / (1 + 1000 * to_apex) / 4.2, delta=1e-9)


class PictureTest(unittest.TestCase):
    def setUp(self):
        self.bench = Bench(draw("small", 3, PLAIN), 3)
        self.scale = self.bench.projection.scale

    def test_a_spot_keeps_its_light_and_its_place(self):
        tube = 5 * 15 + 7
        exits = np.zeros(180)
        exits[tube] = 1.0
        drift = np.array([1.3, -0.4])
        picture = self.bench.sheet.picture(Light(exits), 0.0, drift)
        bore = np.pi * 1.3**2 * self.scale**2
        self.assertAlmostEqual(picture.sum() / bore, 1, delta=0.004)
        y, x = np.mgrid[0:picture.shape[0], 0:picture.shape[1]]
        near = self.bench.projection.to_px(self.bench.tubes.back[tube]) + drift
        inside = np.hypot(x - near[0], y - near[1]) < self.scale * 3
        light = picture * inside
        self.assertAlmostEqual((light * x).sum() / light.sum(), near[0], delta=0.02)
        self.assertAlmostEqual((light * y).sum() / light.sum(), near[1], delta=0.02)

    def test_a_crescent_keeps_its_light_and_moves_by_half_the_shift(self):
        # Lens of two equal disks a distance t apart: its middle lies at t / 2,
        # its area is r^2 (2 acos(t/2r) - (t/2r) sqrt(4 - (t/r)^2)).
        tube = 5 * 15 + 7
        flux, shifts = np.zeros(180), np.zeros((180, 2))
        flux[tube], shifts[tube] = 1.0, [0.8, 0.5]
        direct = Direct(flux, shifts)
        picture = self.bench.sheet.picture(
            Light(np.zeros(180), direct=[direct]), 0.0, np.zeros(2))
        bore = np.pi * 1.3**2 * self.scale**2
        self.assertAlmostEqual(picture.sum() / bore, 1, delta=0.004)
        middle = self.bench.projection.to_px(self.bench.tubes.back[tube] + [0.4, 0.25])
        y, x = np.mgrid[0:picture.shape[0], 0:picture.shape[1]]
        light = picture * (np.hypot(x - middle[0], y - middle[1]) < self.scale * 2)
        self.assertAlmostEqual((light * x).sum() / light.sum(), middle[0], delta=0.05)
        self.assertAlmostEqual((light * y).sum() / light.sum(), middle[1], delta=0.05)

    def test_the_bare_sheet_shows_its_illuminance(self):
        picture = self.bench.sheet.picture(Light(np.zeros(180), 2.5), 0.0, np.zeros(2))
        middle = picture[picture.shape[0] // 2, picture.shape[1] // 2]
        self.assertAlmostEqual(middle, 2.5, delta=1e-3)

    def test_projection_and_back(self):
        settings = draw("harsh", 2, {})
        corners = np.array([[-50.0, -40], [50, 40], [-50, 40], [50, -40]])
        projection = Projection(settings, corners, np.random.default_rng(1))
        points = np.random.default_rng(2).uniform(-45, 45, (50, 2))
        back = projection.to_mm(projection.to_px(points))
        self.assertLess(np.abs(back - points).max(), 1e-6)

    def test_up_on_the_sheet_is_up_in_the_photo(self):
        px = self.bench.projection.to_px(np.array([[0.0, 0], [10, 0], [0, 10]]))
        self.assertGreater(px[1, 0], px[0, 0])
        self.assertLess(px[2, 1], px[0, 1])


class LampTest(unittest.TestCase):
    def test_the_brightest_tube_lies_where_lamp_axis_and_apex_say(self):
        bench = Bench(draw("small", 1, {
            **PLAIN, "array.pointing-jitter-deg": 0.0, "array.back-jitter-pitches": 0.0,
            "array.bulge-pitches": 0.0, "array.transmission-scatter": 0.0,
            "array.width-scatter": 0.0, **{f"faults.{name}": 0 for name in (
                "blocked", "clusters", "weak", "bent", "misaimed")}}), 1)
        tubes = bench.tubes
        tube = np.flatnonzero((tubes.row == 3) & (tubes.column == 12))[0]
        distance = 2000.0
        # Lamp on this tube's axis: front place times (D + L + A) / (L + A).
        place = tubes.front[tube] * (1 + distance * 1.2 / 4.2 / 150)
        light = tubes.lamp_light(place, distance, 1e-6).entering
        self.assertEqual(int(np.argmax(light)), tube)
        slope2 = (((place - tubes.front[tube]) / distance) ** 2).sum()
        self.assertAlmostEqual(light[tube], 0.25 * (1 + slope2) ** -1.5, delta=1e-6)


class CameraTest(unittest.TestCase):
    def test_noise_has_the_variance_of_electrons(self):
        settings = draw("clean", 1, {"camera.tone": "linear", "camera.full-well": 20000.0})
        rate = np.full((400, 400), 0.5)
        pixels = expose(rate, Fraction(1, 2), 200, settings, np.random.default_rng(3))
        green = pixels[..., 1] / 65535
        electrons = 0.5 * 10000
        self.assertAlmostEqual(green.mean(), 0.5, delta=2e-4)
        self.assertAlmostEqual(green.var() / ((electrons + 9) / 10000**2), 1, delta=0.02)

    def test_srgb_values_of_the_standard(self):
        # IEC 61966-2-1: linear 0.214041 is 0.5; the straight part has slope 12.92.
        self.assertAlmostEqual(float(photofile.encode_srgb(np.array(0.214041140))), 0.5, delta=1e-6)
        self.assertAlmostEqual(float(photofile.encode_srgb(np.array(0.001))), 0.01292, delta=1e-9)


class FileTest(unittest.TestCase):
    def test_photos_read_back_by_another_program(self):
        pixels = np.random.default_rng(1).integers(0, 65536, (5, 7, 3)).astype(np.uint16)
        with tempfile.TemporaryDirectory() as folder:
            png, jpeg = Path(folder) / "a.png", Path(folder) / "a.jpg"
            photofile.write_png(png, pixels)
            raw = subprocess.run(["convert", str(png), "-depth", "16", "-endian", "LSB", "rgb:-"],
                                 capture_output=True, check=True).stdout
            read = np.frombuffer(raw, "<u2").reshape(5, 7, 3)
            self.assertTrue(np.array_equal(read, pixels))
            exif = photofile.exif_segment(Fraction(13, 10), 200, 1.8, 6)
            photofile.write_jpeg(jpeg, (pixels >> 8).astype(np.uint8), 95, "4:2:0", exif)
            told = subprocess.run(
                ["identify", "-format", "%[EXIF:ExposureTime] %[EXIF:FNumber] "
                 "%[EXIF:PhotographicSensitivity] %[EXIF:Orientation]", str(jpeg)],
                capture_output=True, check=True, text=True).stdout
            self.assertEqual(told, "13/10 9/5 200 6")


if __name__ == "__main__":
    unittest.main()
