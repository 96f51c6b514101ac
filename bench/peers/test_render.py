"""Checks of the renderer against closed forms: python3 -m unittest in this folder."""

from __future__ import annotations

import subprocess
import tempfile
import unittest
from fractions import Fraction
from pathlib import Path

import numpy as np
from scipy import integrate, optimize
from scipy.spatial import cKDTree

import photofile
from acceptance import Acceptance, bow_parts, opening_overlap, parts_width_deg
from camera import Projection, expose
from packing import packed_places
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


def half_lens(large: float) -> float:
    """Distance, in diameters of the smaller circle, at which two circles share half
    of the smaller one; the area by summing strips."""
    y = np.linspace(-0.5, 0.5, 20001)
    half = np.sqrt(0.25 - y**2), np.sqrt(large**2 / 4 - y**2)

    def shared(apart: float) -> float:
        left = np.maximum(-half[0], apart - half[1])
        right = np.minimum(half[0], apart + half[1])
        return integrate.trapezoid(np.maximum(right - left, 0), y) / (np.pi / 4)
    return float(optimize.brentq(lambda apart: shared(apart) - 0.5, 0.1, 1.0))


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

    def test_a_diverging_beam_passes_as_many_rays_as_counted(self):
        # Rays from a point to points drawn evenly on the front opening, D/L = 4.
        draws = np.random.default_rng(1)
        front = np.sqrt(draws.random(400_000)) * np.exp(2j * np.pi * draws.random(400_000)) / 2
        for shift in (0.0, 0.1, 0.4, 0.8, 1.05, 1.2):
            # In the plane of the back opening the beam is 1 + L/D times as wide.
            counted = (np.abs(shift + front * 1.25) < 0.5).mean()
            self.assertAlmostEqual(float(opening_overlap(np.array(shift), 0.25)), counted,
                                   delta=4 * np.sqrt(0.25 / 400_000))

    def test_near_lamps_widen_black_tubes_and_no_glossy_ones(self):
        def width(tail_share: float, near: float) -> float:
            acceptance = Acceptance(2.6 / 150, tail_share, 2.0, "gaussian").near(near)
            slopes = np.linspace(0, 0.04, 40001)
            values = acceptance(slopes)
            return slopes[np.flatnonzero(values >= values[0] / 2)[-1]]
        # Openings 1 and 1.2 bores wide.
        self.assertAlmostEqual(width(0.0, 0.2) / (2.6 / 150), half_lens(1.2), delta=1e-4)
        self.assertGreater(width(0.0, 0.2) / width(0.0, 0.0), 1.1)
        self.assertAlmostEqual(width(1.0, 0.2) / width(1.0, 0.0), 1, delta=1e-9)

    def test_a_bowed_tube_looks_along_its_entrance_tangent(self):
        # A parabola of height h over its chord L leaves its end at the slope 4h/L.
        shifts, weights = bow_parts(np.array([0.05, 0.3]), 150.0)
        means = (shifts * weights).sum(axis=1)
        self.assertAlmostEqual(float(means[0]), 4 * 0.05 / 150, delta=1e-12)
        self.assertAlmostEqual(float(means[1]), 4 * 0.3 / 150, delta=1e-12)

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

    def test_paper_clouds_have_their_stated_depth(self):
        bench = Bench(draw("small", 3, {**PLAIN, "sheet.texture": 0.014,
                                        "sheet.cloud-pitches": 1.0}), 3)
        clouds = bench.sheet.picture(Light(np.zeros(180), 1.0), 0.0, np.zeros(2))
        self.assertAlmostEqual(clouds[60:-60, 60:-60].std(), 0.014, delta=0.002)
        plain = self.bench.sheet.picture(Light(np.zeros(180), 1.0), 0.0, np.zeros(2))
        self.assertLess(plain[60:-60, 60:-60].std(), 1e-4)

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
            "array.width-scatter": 0.0, "acceptance.tail-share": 0.0, **{f"faults.{name}": 0 for name in (
                "blocked", "clusters", "weak", "bent", "misaimed")}}), 1)
        tubes = bench.tubes
        tube = np.flatnonzero((tubes.row == 3) & (tubes.column == 12))[0]
        distance = 2000.0
        # Lamp on this tube's axis: front place times (D + L + A) / (L + A).
        place = tubes.front[tube] * (1 + distance * 1.2 / 4.2 / 150)
        light = tubes.lamp_light(place, distance, 1e-6).entering
        self.assertEqual(int(np.argmax(light)), tube)
        slope2 = (((place - tubes.front[tube]) / distance) ** 2).sum()
        # What a black tube lets out fell by 1/r^2 as far as the sheet, L behind the front face.
        self.assertAlmostEqual(light[tube], (1 + slope2) ** -1.5 / 2.15**2, delta=1e-6)

    def test_lamps_stand_off_their_stated_places_by_the_tape_s_error(self):
        settings = draw("judged", 5, {
            "shots.sweep-columns": 25, "shots.sweep-rows": 24, "shots.tape-error": 2.0,
            "shots.tape-share": 0.001, "shots.place-error": 1.5})
        lamps = [s for s in Bench(settings, 5).shots if s.kind == "lamp"]
        across, up, away = np.array([
            [shot.lamps[0][0][0] - float(shot.stated["across"][:-3]),
             shot.lamps[0][0][1] - float(shot.stated["up"][:-3]),
             shot.lamps[0][1] - 1000 * float(shot.stated["distance"][:-2])] for shot in lamps]).T
        # 600 draws: their deviation is known to 3 %.
        self.assertAlmostEqual(across.std(), 1.5, delta=0.15)
        self.assertAlmostEqual(up.std(), 1.5, delta=0.15)
        expected = np.hypot(2.0, lamps[0].distance / 1000)
        self.assertAlmostEqual(away.std() / expected, 1, delta=0.1)


class SessionTest(unittest.TestCase):
    def test_a_later_session_has_the_same_tubes_and_all_else_anew(self):
        given = {"shots.pair-spacing": 90.0, "shots.tape-error": 1.0}
        first, later = (Bench(draw("quick", 5, {**given, "session": n}), 5) for n in (0, 1))
        for name in ("back", "gain", "fault"):
            np.testing.assert_array_equal(getattr(first.tubes, name), getattr(later.tubes, name))
        self.assertEqual(first.settings["acceptance.tail-share"],
                         later.settings["acceptance.tail-share"])
        self.assertNotEqual(first.settings["light.gradient"], later.settings["light.gradient"])
        for one, other in zip(first.shots, later.shots):
            self.assertEqual((one.name, one.spacing), (other.name, other.spacing))
            if one.lamps:
                self.assertNotEqual(one.lamps[0][1], other.lamps[0][1])
        self.assertTrue(all(s.spacing in (0.0, 90.0) for s in first.shots))


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


class PackingTest(unittest.TestCase):
    def test_disks_do_not_overlap_and_fill_what_hexagonal_order_allows(self):
        for aspect in (0.0, 1.4):
            settings = draw("bundle", 3, {"array.packing-aspect": aspect, "array.tubes": 400})
            places = packed_places(settings, np.random.default_rng(3))
            nearest = cKDTree(places).query(places, k=2)[0][:, 1]
            # Diameters scatter by 1 %; what is left of overlaps is less.
            self.assertGreater(nearest.min(), 0.95)
            self.assertAlmostEqual(np.median(nearest), 1, delta=0.01)
            # Pi / (2 sqrt 3) of the plane at most; breaks and gaps take some, a rim without
            # its outer half disks is left out.
            inner = np.abs(places).max(axis=1) < 6
            share = inner.sum() * np.pi / 4 / 12**2
            self.assertLess(share, np.pi / (2 * np.sqrt(3)) * 1.03)
            self.assertGreater(share, 0.8)


if __name__ == "__main__":
    unittest.main()
