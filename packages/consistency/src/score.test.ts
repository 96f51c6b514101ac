import type { LampShot, PairShot } from '@twolamp/session';
import { expect, test } from 'vitest';
import type { Reading } from './readings.js';
import { AS_STATED, scoreStatement } from './score.js';
import type { Spots } from './spots.js';
import { placeOf, type Statement } from './statement.js';

const ARRAY = { frontPitchMm: 3.8, backPitchMm: 3, tubeLengthMm: 150 };
/** Millimetres from axis to axis at a distance. */
const pitchAt = (distanceMm: number) => 3.8 + (0.8 / 150) * distanceMm;
const common = { photo: '', exposureS: null, iso: null, stated: true } as const;

function shotAt(distanceMm: number, nth: number, kind: 'lamp' | 'pair'): LampShot | PairShot {
  const place = { ...common, photo: `${kind}-${nth}.jpg`, acrossMm: 0, upMm: 0, distanceMm };
  const shot = kind === 'lamp' ? { ...place, kind } : { ...place, kind, spacingMm: 60, turnedDeg: 0 };
  return shot as unknown as LampShot | PairShot;
}

/** What a photo that fits shows, but for its light. */
function readingOf(shot: LampShot | PairShot, peakLn: number, widthShare: number, leaning = 0): Reading {
  const { acrossMm, upMm, distanceMm } = shot;
  const spots: Spots = {
    across: acrossMm / pitchAt(distanceMm),
    up: upMm / pitchAt(distanceMm),
    placeSigma: 0.1,
    apart: shot.kind === 'pair' ? { across: 60 / pitchAt(distanceMm), up: 0, sigma: 0.1 } : null,
    widthLn: -Math.log(pitchAt(distanceMm) / distanceMm) - 4,
    widthLnSigma: 0.05,
    peakLn: peakLn - 2 * Math.log(distanceMm),
    peakLnSigma: 0.1,
    explained: 0.95,
    widthShare,
    leaning,
  };
  return { shot, spots, exposed: true };
}

test.each([
  ['as wide as the array', 1, 0],
  ['at its rim', 0.5, 0.8],
])('images %s count no more when the others scatter less than stated', (_, widthShare, leaning) => {
  const shots = [1500, 1800, 2100, 2400, 2700, 3000].map((mm, n) => shotAt(mm, n, 'pair'));
  const statement: Statement = { array: ARRAY, places: shots.map(placeOf) };
  const costOf = (isUsual: boolean, light: number) => {
    // The first pair's light is three of its uncertainties too low.
    const readings = shots.map((shot, n) =>
      n > 0
        ? readingOf(shot, 0, 0.5)
        : readingOf(shot, -0.3, isUsual ? 0.5 : widthShare, isUsual ? 0 : leaning),
    );
    const scatter = { ...AS_STATED, light };
    return scoreStatement(statement, readings, { light: true, stretchSigma: 0 }, scatter).byShot[0];
  };
  expect(costOf(false, 0.4)).toBeLessThan(1.2 * costOf(false, 1));
  expect(costOf(true, 0.4)).toBeGreaterThan(1.5 * costOf(true, 1));
});

test('images as wide as the array may all lie too far out, and don’t speak against the array’s dimensions', () => {
  const corners = [-1, 1].flatMap((across) => [-1, 1].map((up) => [60 * across, 40 * up] as const));
  const shots = corners.map(([acrossMm, upMm], n) => ({ ...shotAt(2500, n, 'lamp'), acrossMm, upMm }));
  const statement: Statement = { array: ARRAY, places: shots.map(placeOf) };
  const costOf = (widthShare: number) => {
    const readings = shots.map((shot) => {
      const reading = readingOf(shot, 0, widthShare);
      // A seventh of their distance from the middle.
      const out = (pitches: number) => (8 / 7) * pitches;
      return {
        ...reading,
        spots: { ...reading.spots!, across: out(reading.spots!.across), up: out(reading.spots!.up) },
      };
    });
    return scoreStatement(statement, readings, { light: true, stretchSigma: 0 }, AS_STATED).cost;
  };
  expect(costOf(1)).toBeLessThan(0.2 * costOf(0.5));
});

test('near lamps’ images that are darker fit better where they are wider than where they are narrower', () => {
  const shots = [1000, 1500, 2000, 3000, 4000].map((mm, n) => shotAt(mm, n, 'pair'));
  const statement: Statement = { array: ARRAY, places: shots.map(placeOf) };
  const costOf = (widerLn: number) => {
    const readings = shots.map((shot, n) => {
      const near = 1 - n / 4;
      const { spots, ...reading } = readingOf(shot, -0.3 * near, 0.5);
      return { ...reading, spots: { ...spots!, widthLn: spots!.widthLn + near * widerLn } };
    });
    return scoreStatement(statement, readings, { light: true, stretchSigma: 0 }, AS_STATED).cost;
  };
  expect(costOf(0.15)).toBeLessThan(0.5 * costOf(-0.15));
});
