import type { LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { buildBench } from '../array/bench.js';
import { smallPlan } from '../fixtures/small-plan.js';
import { lampLight } from './lamp-light.js';
import { sceneLight } from './scene-light.js';

const DISTANCE_MM = 1500;
const BORE_MM = 2.5;
const LENGTH_MM = 120;
const BORE_AREA = Math.PI * (BORE_MM / 2) ** 2;
const NITS = 1000;
const bench = buildBench(
  smallPlan({ shots: '[{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 1 m }]' }),
);
const BLACK = bench.healthy.table(DISTANCE_MM);
const straight = (acrossMm = 0, upMm = 0, slopeAcross = 0, slopeUp = 0) => ({
  front: { acrossMm, upMm },
  chord: { across: slopeAcross, up: slopeUp },
  bowMm: 0,
});

function picture(width: number, height: number, light: (x: number, y: number) => number): LinearPhoto {
  return {
    width,
    height,
    light: Float32Array.from({ length: width * height }, (_, i) => light(i % width, Math.floor(i / width))),
    clipped: new Uint8Array(width * height),
    exposureS: null,
    iso: null,
    aperture: null,
  };
}
const hung = (shown: LinearPhoto, widthMm: number, distanceMm = DISTANCE_MM) =>
  sceneLight({ picture: shown, widthMm, distanceMm, whiteNits: NITS }, LENGTH_MM);
const white = picture(7, 5, () => 1);

describe('sceneLight', () => {
  test('a white wall that fills the view: view factor of two coaxial disks', () => {
    // Howell's catalogue, C-40, in the form without cancellation; the wall's light falls on the front end as from all around.
    const ratio = BORE_MM / 2 / LENGTH_MM;
    const viewFactor = (2 * ratio ** 2) / (1 + 2 * ratio ** 2 + Math.sqrt(1 + 4 * ratio ** 2));
    const { light, moment } = hung(white, 500)(straight(), BLACK, BORE_MM);
    // The table of the acceptance is traced with about a thousand rays.
    expect(Math.abs(light / (Math.PI * NITS * BORE_AREA * viewFactor) - 1)).toBeLessThan(4e-3);
    expect(Math.abs(moment.acrossMm) + Math.abs(moment.upMm)).toBeLessThan(1e-6 * light * BORE_MM);
  });

  test('light of parts adds up to that of the whole, however their edges lie', () => {
    const tube = straight(3.1, -2.2, 0.004, -0.003);
    const whole = hung(white, 60)(tube, BLACK, BORE_MM).light;
    for (const edge of [1, 3, 6]) {
      const parts = [(x: number) => (x < edge ? 1 : 0), (x: number) => (x < edge ? 0 : 1)].map(
        (light) => hung(picture(7, 5, light), 60)(tube, BLACK, BORE_MM).light,
      );
      // A rectangle half dark counts with its mean; rectangles are some 2 % of the view.
      expect(Math.abs((parts[0] + parts[1]) / whole - 1)).toBeLessThan(1e-9);
    }
  });

  test.each([
    ['straight ahead', 0, 0],
    ['to the right', 12, 0],
    ['above and to the left', -8, 9],
  ])('a small patch %s is a lamp of its size, a cosine weaker aside', (_, acrossMm, upMm) => {
    const tube = straight(2, 1, 0.001, 0.002);
    const sideMm = 0.6;
    // 101 pixels of 0.6 mm, the patch at a whole number of them from the middle.
    const [column, row] = [50 + Math.round(acrossMm / sideMm), 50 - Math.round(upMm / sideMm)];
    const patch = picture(101, 101, (x, y) => (x === column && y === row ? 1 : 0));
    const { light } = hung(patch, 101 * sideMm)(tube, BLACK, BORE_MM);
    const [across, up] = [(column - 50) * sideMm, (50 - row) * sideMm];
    const lamp = {
      acrossMm: across,
      upMm: up,
      distanceMm: DISTANCE_MM,
      diameterMm: 0,
      candela: NITS * (sideMm / 1000) ** 2,
    };
    const away = Math.hypot(across - tube.front.acrossMm, up - tube.front.upMm);
    const cos = DISTANCE_MM / Math.hypot(DISTANCE_MM, away);
    const expected = cos * lampLight(lamp, tube, bench.healthy, BORE_MM);
    // The acceptance is read in the middle of a rectangle of directions, some 2 % of the view.
    expect(Math.abs(light / expected - 1)).toBeLessThan(0.03);
  });

  test('light from the right falls on the left of the bore, light from above on its lower side', () => {
    // Two circles shifted by s share a lens whose middle lies at s/2.
    const sideMm = 0.6;
    const patch = picture(101, 101, (x, y) => (x === 60 && y === 45 ? 1 : 0));
    const { light, moment } = hung(patch, 101 * sideMm)(straight(), BLACK, BORE_MM);
    const perMm = LENGTH_MM / (1 + LENGTH_MM / (2 * DISTANCE_MM)) / DISTANCE_MM / 2;
    // What came straight through is told by circles of equal width: some per cent off for light from near by.
    expect(Math.abs(moment.acrossMm / light / (-6 * perMm) - 1)).toBeLessThan(0.06);
    expect(Math.abs(moment.upMm / light / (-3 * perMm) - 1)).toBeLessThan(0.06);
  });

  test('a glossy tube whose middle stands out to the right heads left at its front end, and sees more there', () => {
    const { responses } = buildBench(
      smallPlan({
        build: '{ wall: { index: 1.5, extinction: 0, gloss: 0.8 } }',
        faults: '{ list: [{ fault: bent, row: 1, column: 1, bow: 1.5 mm, direction: 0 deg }] }',
      }),
    );
    const acceptance = responses[0].table(DISTANCE_MM);
    const half = (isLit: (x: number, y: number) => boolean) =>
      hung(
        picture(8, 6, (x, y) => (isLit(x, y) ? 1 : 0)),
        500,
      )({ ...straight(), bowMm: 1.5 }, acceptance, BORE_MM);
    const [left, right] = [half((x) => x < 4), half((x) => x >= 4)];
    expect(left.light).toBeGreaterThan(1.5 * right.light);
    expect(half((_, y) => y < 3).light).toBeCloseTo(half((_, y) => y >= 3).light, 9);
    expect(left.moment).toEqual({ acrossMm: 0, upMm: 0 });
  });

  test('a picture beside what the tube sees gives nothing', () => {
    expect(hung(white, 20)(straight(0, 0, 0.2, 0), BLACK, BORE_MM).light).toBe(0);
  });
});
