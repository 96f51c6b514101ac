import { circleOverlap, seededRandom } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  degrees,
  LAMP_ARRAY,
  nearFactor,
  nineLamps,
  pairLight,
  pairShot,
  type RealArray,
  type Really,
  scattered,
  scatteredMisaim,
} from '../../../flux/src/fixtures/lamp-lights.js';
import { measurePairs } from './measure-pairs.js';

const SPACING_MM = 20;
const CRITERION = { name: 'rayleigh', requiredDip: 0.265 };
const RATIO = LAMP_ARRAY.tubeBoreMm / LAMP_ARRAY.tubeLengthMm;
const SMALL: ArraySpec = { ...LAMP_ARRAY, rows: 14, columns: 16 };

const blackWalls = (slope: number) => circleOverlap(slope / RATIO);

const SCATTER_DEG = 0.05;
const seen = scattered(blackWalls, degrees(SCATTER_DEG));
const NODES = 400;
const FARTHEST = 2 * RATIO;
const table = Float64Array.from({ length: NODES + 1 }, (_, n) => seen((FARTHEST * n) / NODES));
const seenAt = (slope: number) => table[Math.min(NODES, Math.round((NODES * Math.abs(slope)) / FARTHEST))];

/** Dip of two lamps seen through black walls by tubes that look pointingSigma, the profile between them gone through. */
function dueDip(slope: number): number {
  const profile = Array.from({ length: NODES }, (_, n) => {
    const along = (slope * n) / NODES;
    return seenAt(along - slope / 2) + seenAt(along + slope / 2);
  });
  return 1 - profile[0] / Math.max(...profile);
}

/** The slope between two lamps as tubes see it that are lit from a far. */
function slopeOf(spacingMm: number, distanceMm: number): number {
  return spacingMm / distanceMm / nearFactor(LAMP_ARRAY, distanceMm);
}

/** Distance at which that dip meets the criterion, by bisection. */
const DUE_DISTANCE_MM = (() => {
  let [near, far] = [SPACING_MM / (2 * RATIO), SPACING_MM / (0.5 * RATIO)];
  for (let n = 0; n < 40; n++) {
    const middle = (near + far) / 2;
    if (dueDip(slopeOf(SPACING_MM, middle)) < CRITERION.requiredDip) far = middle;
    else near = middle;
  }
  return near;
})();

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
  const real: RealArray = {
    array,
    response: blackWalls,
    misaim: scatteredMisaim(array, SCATTER_DEG, random),
  };
  const lamps = scene.lamps === false ? [] : nineLamps(real, 0.01, random);
  const pairs = distances.flatMap((share) =>
    NUDGES_MM.map((nudge) => {
      const photo = `pair-${share}-${nudge}.png`;
      const distanceMm = Math.round(share * DUE_DISTANCE_MM);
      const shot = pairShot(photo, SPACING_MM, distanceMm, nudge, nudge / 2, scene.turnedDeg);
      return pairLight(real, shot, 0.01, random, scene.really?.(photo));
    }),
  );
  const relative = new Float64Array(array.rows * array.columns).fill(1);
  return measurePairs({ array, lamps, pairs, relative, lampDiameterMm: 0, criterion: CRITERION }, random);
}

/** The stand was set up by eye: all lamps really stand a degree aside. */
function aside(photo: string): Really {
  const [, share, nudge] = /pair-([\d.]+)-(\d+)/.exec(photo)!.map(Number);
  return { acrossMm: nudge + Math.round(share * DUE_DISTANCE_MM) * degrees(1) };
}

function dipRms({ pairs }: ReturnType<typeof measured>): number {
  const errors = pairs.map((one) => one.dip! - dueDip(slopeOf(1000 * one.spacingM, 1000 * one.distanceM)));
  return Math.hypot(...errors) / Math.sqrt(errors.length);
}

const codes = ({ findings }: ReturnType<typeof measured>, about: string) =>
  findings.filter((one) => one.about === about).map(({ code }) => code);

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
    { name: 'an array that looks a degree aside', scene: { lamps: false, really: aside } },
  ])('$name: dips and resolving distance of the closed form', ({ scene }) => {
    const found = measured(scene);
    const resolving = found.resolving!;
    expect(dipRms(found)).toBeLessThan(0.02);
    // Read off the cells without the model, nudges together.
    for (const { spacingM, distanceM, dip, uncertainty } of found.plainDips) {
      const due = dueDip(slopeOf(1000 * spacingM, 1000 * distanceM));
      expect(Math.abs(dip - due)).toBeLessThan(Math.max(0.02, 3 * uncertainty));
      expect(uncertainty).toBeLessThan(0.05);
    }
    expect(Math.abs((1000 * resolving.distanceM) / DUE_DISTANCE_MM - 1)).toBeLessThan(0.03);
    expect(resolving.bound).toBe('within');
    expect(resolving.lowM!).toBeLessThan(resolving.distanceM);
    expect(resolving.highM!).toBeGreaterThan(resolving.distanceM);
    // The curve goes as far as the shots, and a tenth more on either side.
    const shot = found.pairs.map(({ distanceM }) => distanceM);
    const drawn = found.dipCurve!.distanceM;
    expect(drawn[0]! / Math.min(...shot)).toBeCloseTo(0.9, 9);
    expect(drawn.at(-1)! / Math.max(...shot)).toBeCloseTo(1.1, 9);
    expect(codes(found, 'pairs')).toEqual(scene.lamps === false ? ['response-from-pairs'] : []);
  });

  test.each([
    { bound: 'beyond', distances: [0.4, 0.5, 0.6, 0.7], edge: 0.7, code: 'separate-at-all-distances' },
    { bound: 'nearer', distances: [1.4, 1.6, 1.8, 2], edge: 1.4, code: 'separate-at-no-distance' },
  ])('shots that all lie on one side: $bound', ({ bound, distances, edge, code }) => {
    const found = measured({ distances });
    expect(found.resolving!.bound).toBe(bound);
    expect(1000 * found.resolving!.distanceM).toBe(Math.round(edge * DUE_DISTANCE_MM));
    expect(found.resolving).toMatchObject({ lowM: null, highM: null });
    expect(found.resolving).toMatchObject({ angleLowDeg: null, angleHighDeg: null });
    expect(codes(found, 'resolving')).toEqual([code]);
  });

  // Without lamp shots the pairs tell where they stand: a degree to the right of what is stated.
  test('lamps beside their stated places: by how much, and to which side', () => {
    const found = measured({ lamps: false, really: aside });
    const [off] = found.findings.filter((one) => one.code === 'lamps-off-stated-places');
    expect(Math.abs(off!.values.acrossDeg - 1)).toBeLessThan(0.1);
    expect(Math.abs(off!.values.upDeg)).toBeLessThan(0.1);
  });

  test('a verdict that contradicts the headline beyond its interval is left open', () => {
    // The middle one of three nudges was really shot from so near that its lamps are separate, or from afar.
    for (const [share, times] of [
      [0.6, 2],
      [1.4, 0.55],
    ] as const) {
      const photo = `pair-${share}-3.png`;
      const found = measured({
        really: (name) => (name === photo ? { distanceMm: times * share * DUE_DISTANCE_MM } : {}),
      });
      const { lowM, highM } = found.resolving!;
      for (const { distanceM, separate } of found.pairs) {
        if (distanceM < lowM!) expect(separate).not.toBe(false);
        if (distanceM > highM!) expect(separate).not.toBe(true);
      }
    }
  });

  test('no pairs: a finding, nothing else', () => {
    const found = measured({ distances: [] });
    expect(found).toMatchObject({ pairs: [], resolving: null, dipCurve: null, profiles: [] });
    expect(codes(found, 'resolving')).toEqual(['no-pairs']);
  });

  test('pairs too dark to read: findings, nothing else', () => {
    // So sparse that next to no tube looks at the lamps.
    const found = measured({ array: { ...SMALL, frontPitchMm: 9 }, distances: [0.7, 1] });
    expect(found.resolving).toBeNull();
    expect(found.pairs.map((one) => one.dip)).toEqual(found.pairs.map(() => null));
    for (const { photo } of found.pairs) expect(codes(found, photo)).toEqual(['pair-unreadable']);
    expect(codes(found, 'resolving')).toEqual(['no-crossing']);
  });

  test('a wrong reading of the tape measure is named, with the distance that fits', () => {
    const stated = Math.round(0.8 * DUE_DISTANCE_MM);
    const really = (photo: string): Really =>
      photo === 'pair-0.8-3.png' ? { distanceMm: 1.25 * stated } : {};
    const found = measured({ really });
    const doubts = found.findings.filter((one) => one.code === 'doubt-pair-distance');
    expect(doubts.map(({ about }) => about)).toEqual(['pair-0.8-3.png']);
    const { statedM, fittingM } = doubts[0].values;
    expect(1000 * statedM).toBe(stated);
    expect(Math.abs((1000 * fittingM!) / (1.25 * stated) - 1)).toBeLessThan(0.05);
    const doubtful = found.pairs.filter((pair) => pair.doubtful);
    expect(doubtful.map(({ photo }) => photo)).toEqual(['pair-0.8-3.png']);
    expect(Math.abs((1000 * found.resolving!.distanceM) / DUE_DISTANCE_MM - 1)).toBeLessThan(0.03);
  });

  // From so far away the images fall on one another: their light is the same for lamps half or twice as far apart.
  test('a separation that the light does not tell is no figure, and accuses no distance', () => {
    const found = measured({ distances: [0.6, 0.8, 1, 1.2, 60] });
    const far = found.pairs.filter(({ photo }) => photo.startsWith('pair-60-'));
    expect(
      far.map(({ separationCells, separationUncertainty }) => [separationCells, separationUncertainty]),
    ).toEqual(far.map(() => [null, null]));
    const near = found.pairs.filter((pair) => !far.includes(pair));
    expect(near.every((pair) => pair.separationCells! > 3 * pair.separationUncertainty!)).toBe(true);
    expect(found.findings.filter(({ code }) => code === 'doubt-pair-distance')).toEqual([]);
  });

  test('an undersampled array: figures or none, and a finding', () => {
    const found = measured({ array: { ...SMALL, frontPitchMm: 5 }, distances: [0.7, 1] });
    for (const { dip } of found.pairs) {
      if (dip !== null) expect(dip >= 0 && dip <= 1).toBe(true);
    }
    expect(codes(found, 'resolving')).toContain('cells-undersample');
  });
});
