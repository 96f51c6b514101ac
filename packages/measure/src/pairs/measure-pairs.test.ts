import { circleOverlap, seededRandom } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  LAMP_ARRAY,
  nineLamps,
  pairLight,
  pairShot,
  type RealArray,
  type Really,
  scatteredMisaim,
} from '../fixtures/lamp-lights.js';
import { measurePairs } from './measure-pairs.js';

const SPACING_MM = 20;
const CRITERION = { name: 'rayleigh', requiredDip: 0.265 };
const RATIO = LAMP_ARRAY.tubeBoreMm / LAMP_ARRAY.tubeLengthMm;
const SMALL: ArraySpec = { ...LAMP_ARRAY, rows: 14, columns: 16 };

const blackWalls = (slope: number) => circleOverlap(slope / RATIO);

/**
 * Dip of two lamps seen through black walls, in closed form: the shared area of circles falls steepest on the axis, so
 * that each peak stays at its lamp's image, and the valley lies in the middle.
 */
function dueDip(slope: number): number {
  return Math.max(0, 1 - (2 * blackWalls(slope / 2)) / (1 + blackWalls(slope)));
}

/** Distance at which the closed form meets the criterion, by bisection. */
function dueDistanceMm(): number {
  let [low, high] = [0.5 * RATIO, 2 * RATIO];
  for (let n = 0; n < 60; n++) {
    const middle = (low + high) / 2;
    if (dueDip(middle) < CRITERION.requiredDip) low = middle;
    else high = middle;
  }
  return SPACING_MM / low;
}

interface Scene {
  readonly array?: ArraySpec;
  readonly seed?: number;
  /** Against the resolving distance. */
  readonly distances?: readonly number[];
  readonly lamps?: boolean;
  readonly turnedDeg?: number;
  readonly really?: (photo: string) => Really;
}

const NUDGES_MM = [0, 3, 6];

function measured({ array = SMALL, seed = 1, distances = [0.6, 0.8, 1, 1.2, 1.4], ...scene }: Scene) {
  const random = seededRandom(seed);
  const real: RealArray = { array, response: blackWalls, misaim: scatteredMisaim(array, 0.05, random) };
  const lamps = scene.lamps === false ? [] : nineLamps(real, 0.01, random);
  const pairs = distances.flatMap((share) =>
    NUDGES_MM.map((nudge) => {
      const photo = `pair-${share}-${nudge}.png`;
      const distanceMm = Math.round(share * dueDistanceMm());
      const shot = pairShot(photo, SPACING_MM, distanceMm, nudge, nudge / 2, scene.turnedDeg);
      return pairLight(real, shot, 0.01, random, scene.really?.(photo));
    }),
  );
  const relative = new Float64Array(array.rows * array.columns).fill(1);
  return measurePairs({ array, lamps, pairs, relative, criterion: CRITERION, random });
}

function dipRms({ pairs }: ReturnType<typeof measured>): number {
  const errors = pairs.map((one) => one.dip! - dueDip(one.spacingM / one.distanceM));
  return Math.hypot(...errors) / Math.sqrt(errors.length);
}

const says = ({ notes }: ReturnType<typeof measured>, about: RegExp) =>
  notes.filter((note) => about.test(note.about)).map((note) => note.says);

describe('measurePairs', () => {
  // Goals of the bench: dips to 0.02 (root mean square), the resolving distance to 3 %.
  test.each([
    {
      name: '24 by 30 tubes, six distances',
      scene: { array: LAMP_ARRAY, distances: [0.6, 0.75, 0.9, 1.05, 1.2, 1.4] },
    },
    {
      name: 'a hexagonal array',
      scene: { array: { ...SMALL, arrangement: 'hexagonal', shiftedRows: 'odd' } as ArraySpec },
    },
    { name: 'lamps above each other', scene: { turnedDeg: 90 } },
    { name: 'no lamp shots', scene: { lamps: false } },
  ])('$name: dips and resolving distance of the closed form', ({ scene }) => {
    const found = measured(scene);
    const resolving = found.resolving!;
    expect(dipRms(found)).toBeLessThan(0.02);
    expect(Math.abs((1000 * resolving.distanceM) / dueDistanceMm() - 1)).toBeLessThan(0.03);
    expect(resolving.bound).toBe('within');
    expect(resolving.lowM!).toBeLessThan(resolving.distanceM);
    expect(resolving.highM!).toBeGreaterThan(resolving.distanceM);
    expect(says(found, /^pairs$/).length).toBe(scene.lamps === false ? 1 : 0);
  });

  test.each([
    { bound: 'beyond', distances: [0.4, 0.5, 0.6, 0.7], edge: 0.7, says: /^separate at every distance shot/ },
    { bound: 'nearer', distances: [1.4, 1.6, 1.8, 2], edge: 1.4, says: /^separate at no distance shot/ },
  ])('shots that all lie on one side: $bound', ({ bound, distances, edge, says: words }) => {
    const found = measured({ distances });
    expect(found.resolving!.bound).toBe(bound);
    expect(1000 * found.resolving!.distanceM).toBe(Math.round(edge * dueDistanceMm()));
    expect(found.resolving).toMatchObject({ lowM: null, highM: null });
    expect(says(found, /^resolving$/)).toEqual([expect.stringMatching(words)]);
  });

  test('no pairs: a note, nothing else', () => {
    const found = measured({ distances: [] });
    expect(found).toMatchObject({ pairs: [], resolving: null, dipCurve: null, profiles: [] });
    expect(says(found, /^resolving$/)).toEqual([expect.stringMatching(/^no pair shots/)]);
  });

  test('pairs too dark to read: notes, nothing else', () => {
    // So sparse that next to no tube looks at the lamps.
    const found = measured({ array: { ...SMALL, frontPitchMm: 9 }, distances: [0.7, 1] });
    expect(found.resolving).toBeNull();
    expect(found.pairs.map((one) => one.dip)).toEqual(found.pairs.map(() => null));
    expect(says(found, /^pairs /).length).toBe(found.pairs.length);
    expect(says(found, /^resolving$/).length).toBe(1);
  });

  test('a wrong reading of the tape measure is named, with the distance that fits', () => {
    const stated = Math.round(0.8 * dueDistanceMm());
    const really = (photo: string): Really =>
      photo === 'pair-0.8-3.png' ? { distanceMm: 1.25 * stated } : {};
    const found = measured({ really });
    const named = says(found, /^pairs pair-0\.8-3\.png$/).filter((one) => one.startsWith('stated distance'));
    expect(named.length).toBe(1);
    expect(
      Math.abs((1000 * Number(/fit ([\d.]+) m/.exec(named[0]!)![1])) / (1.25 * stated) - 1),
    ).toBeLessThan(0.05);
    expect(says(found, /^pairs /).filter((one) => one.startsWith('stated distance')).length).toBe(1);
    expect(Math.abs((1000 * found.resolving!.distanceM) / dueDistanceMm() - 1)).toBeLessThan(0.03);
  });

  test('an undersampled array: figures or none, and a note of blind gaps', () => {
    const found = measured({ array: { ...SMALL, frontPitchMm: 5 }, distances: [0.7, 1] });
    for (const { dip } of found.pairs) {
      if (dip !== null) expect(dip >= 0 && dip <= 1).toBe(true);
    }
    expect(says(found, /^resolving$/).join(' ')).toMatch(/blind gaps/);
  });
});
