import { describe, expect, test } from 'vitest';
import { buildBench } from '../array/bench.js';
import { smallPlan } from '../fixtures/small-plan.js';
import { evenPassed, pairPlaces } from './passed-light.js';
import { type Lamp, lampLight } from './lamp-light.js';

const bench = buildBench(
  smallPlan({ shots: '[{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 1 m }]' }),
);
const BORE_MM = 2.5;
const LENGTH_MM = 120;
const STRAIGHT = { front: { acrossMm: 0, upMm: 0 }, chord: { across: 0, up: 0 } };
const lamp = (changes: Partial<Lamp>): Lamp => ({
  acrossMm: 0,
  upMm: 0,
  distanceMm: 2000,
  diameterMm: 0,
  candela: 40,
  ...changes,
});
const passed = (changes: Partial<Lamp>, aim = STRAIGHT) =>
  lampLight(lamp(changes), aim, bench.healthy, BORE_MM);
const boreArea = Math.PI * (BORE_MM / 2) ** 2;

describe('lampLight through a black tube', () => {
  test.each([1000, 2000, 8000])(
    'straight ahead at %d mm: what the back end sees of the lamp',
    (distanceMm) => {
      // All rays that meet the back end come through: a point source of I over the solid angle of the back end.
      const light = 40 * 1e6 * (boreArea / (distanceMm + LENGTH_MM) ** 2);
      // The table of the acceptance is traced with about a thousand rays.
      expect(Math.abs(passed({ distanceMm }) / light - 1)).toBeLessThan(3e-3);
    },
  );

  test('to the side: overlap of two circles, 1/r² and the slant of the front face', () => {
    // From so far off, rays are parallel. Shift of half a bore: T = 2/3 − √3/(2π), each circle through the other's middle.
    const distanceMm = 400_000;
    const acrossMm = (0.5 * BORE_MM * distanceMm) / LENGTH_MM;
    const cos = distanceMm / Math.hypot(distanceMm, acrossMm);
    const lux = (40 / (distanceMm / 1000) ** 2) * cos ** 3;
    const share = 2 / 3 - Math.sqrt(3) / (2 * Math.PI);
    expect(Math.abs(passed({ distanceMm, acrossMm }) / (lux * boreArea * share) - 1)).toBeLessThan(3e-3);
  });

  test('a tube aimed at the lamp sees it as one straight ahead does, but for distance and slant', () => {
    const slope = 0.05;
    const aimed = { ...STRAIGHT, chord: { across: slope, up: 0 } };
    const ratio = passed({ acrossMm: 100 }, aimed) / passed({});
    expect(ratio).toBeCloseTo((1 + slope ** 2) ** -1.5, 6);
  });

  test('a lamp with a width is a mean over its face', () => {
    // A cone's mean over a disc about its tip: the cut is 2/3 of the rim's.
    const diameterMm = 4;
    const rim = passed({ distanceMm: 50_000, acrossMm: diameterMm / 2 });
    const tip = passed({ distanceMm: 50_000 });
    const disc = passed({ distanceMm: 50_000, diameterMm });
    expect(Math.abs((tip - disc) / (tip - rim) - 2 / 3)).toBeLessThan(0.02);
  });
});

describe('other light', () => {
  test('even light through a black tube: view factor of two coaxial disks', () => {
    // Howell's catalogue, C-40, in the form without cancellation.
    const ratio = BORE_MM / 2 / LENGTH_MM;
    const viewFactor = (2 * ratio ** 2) / (1 + 2 * ratio ** 2 + Math.sqrt(1 + 4 * ratio ** 2));
    const middle = evenPassed(bench, 2 * 7 + 3);
    expect(Math.abs(middle / (4000 * boreArea * viewFactor) - 1)).toBeLessThan(1e-3);
  });

  test('a pair turned by 90° stands upright, one turned by 45° rises to the right', () => {
    const shot = { kind: 'pair', repeats: 1, spacing: 80, distance: 2000, across: 10, up: 5 } as const;
    const [low, high] = pairPlaces({ ...shot, turned: 90 });
    expect(low).toMatchObject({ across: expect.closeTo(10, 12), up: -35 });
    expect(high).toMatchObject({ across: expect.closeTo(10, 12), up: 45 });
    const [, right] = pairPlaces({ ...shot, turned: 45 });
    expect(right.across).toBeGreaterThan(10);
    expect(right.up).toBeGreaterThan(5);
  });
});
