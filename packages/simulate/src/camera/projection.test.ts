import { describe, expect, test } from 'vitest';
import { smallPlan } from '../fixtures/small-plan.js';
import { projection } from './projection.js';

const STILL = { xPx: 0, yPx: 0 };
const view = (camera: string, drift = STILL) => projection(smallPlan({ camera }), drift);

describe('projection', () => {
  test('the middle of the sheet is the middle of the photo; right is right and up is up', () => {
    const { toPhoto, scalePxPerMm } = view('{ framing: 0.9 }');
    // 280 × 200 px: between pixels 139 and 140, and 99 and 100.
    expect(toPhoto({ acrossMm: 0, upMm: 0 })).toEqual({ xPx: 139.5, yPx: 99.5 });
    // 21 × 15 mm of cells fill 0.9 of the photo in the narrower direction: 12 px/mm.
    expect(scalePxPerMm).toBeCloseTo(12, 12);
    const place = toPhoto({ acrossMm: 2, upMm: 3 });
    expect([place.xPx, place.yPx]).toEqual([expect.closeTo(163.5, 9), expect.closeTo(63.5, 9)]);
  });

  test('a tilt brings the top nearer: perspective of a turned plane', () => {
    const tilt = (20 * Math.PI) / 180;
    const { toPhoto } = view('{ tilt: 20 deg, distance: 100 mm, framing: 0.9 }');
    const yOf = (upMm: number) => (12 * 100 * upMm * Math.cos(tilt)) / (100 - upMm * Math.sin(tilt));
    for (const up of [-6, 4, 6]) {
      expect(toPhoto({ acrossMm: 0, upMm: up }).yPx).toBeCloseTo(99.5 - yOf(up), 9);
    }
  });

  test('a turn brings the right side nearer, a roll goes clockwise', () => {
    const turned = view('{ turn: 15 deg, distance: 100 mm }').toPhoto;
    const left = 139.5 - turned({ acrossMm: -6, upMm: 0 }).xPx;
    const right = turned({ acrossMm: 6, upMm: 0 }).xPx - 139.5;
    expect(right).toBeGreaterThan(left);
    const rolled = view('{ roll: 10 deg }').toPhoto({ acrossMm: 5, upMm: 0 });
    expect(rolled.yPx).toBeGreaterThan(99.5);
  });

  test('a negative k1 pulls the corners in by k1·r²', () => {
    const plain = view('{ framing: 0.9 }').toPhoto({ acrossMm: 8, upMm: 6 });
    const barrel = view('{ framing: 0.9, distortion: -0.1 }').toPhoto({ acrossMm: 8, upMm: 6 });
    const radius2 = (96 ** 2 + 72 ** 2) / (140 ** 2 + 100 ** 2);
    expect((barrel.xPx - 139.5) / (plain.xPx - 139.5)).toBeCloseTo(1 - 0.1 * radius2, 12);
  });

  test('from sheet to photo and back', () => {
    const { toPhoto, toSheet } = view(
      '{ tilt: 7 deg, turn: -5 deg, roll: 2 deg, distortion: 0.04, distance: 150 mm }',
      { xPx: 1.5, yPx: -2.5 },
    );
    for (const place of [
      { acrossMm: 0, upMm: 0 },
      { acrossMm: 9, upMm: -6 },
      { acrossMm: -9, upMm: 5 },
    ]) {
      const back = toSheet(toPhoto(place));
      expect(back.acrossMm).toBeCloseTo(place.acrossMm, 10);
      expect(back.upMm).toBeCloseTo(place.upMm, 10);
    }
  });

  test('vignetting takes its share in the very corner', () => {
    const { vignette } = view('{ vignetting: 0.3 }');
    expect(vignette(139.5, 99.5)).toBe(1);
    expect(vignette(-0.5, -0.5)).toBeCloseTo(0.7, 12);
  });
});
