import type { LitShot } from '@twolamp/flux';
import { normalTail } from '@twolamp/numeric';
import { seededRandom } from '@twolamp/optics';
import type { ArraySpec, LampShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  LAMP_ARRAY,
  lampLight,
  lampShot,
  type RealArray,
  scatteredMisaim,
} from '../../../flux/src/fixtures/lamp-lights.js';
import { measurePointing } from './measure-pointing.js';
import { sweepLeaks } from './sweep-leaks.js';

const ROWS = 10;
const COLUMNS = 12;
const LEAK = { from: 4 * COLUMNS + 5, to: 4 * COLUMNS + 6, share: 0.1 };
const HALF_WIDTH = 0.011;
const DISTANCE_MM = 1500;

/** A sweep of 11 × 9 lamps over the whole array; light of one tube leaves by a neighbour. */
function swept(
  frontPitchMm: number,
  leak: typeof LEAK | null,
): { array: ArraySpec; shots: LitShot<LampShot>[] } {
  const random = seededRandom(9);
  const array: ArraySpec = { ...LAMP_ARRAY, rows: ROWS, columns: COLUMNS, frontPitchMm };
  const real: RealArray = {
    array,
    response: (slope) => 0.5 ** ((slope / HALF_WIDTH) ** 2),
    misaim: scatteredMisaim(array, 0.03, random),
  };
  const perCellMm = frontPitchMm + ((frontPitchMm - array.backPitchMm) * DISTANCE_MM) / array.tubeLengthMm;
  const shots = Array.from({ length: 99 }, (_, n) => {
    const across = ((n % 11) / 10 - 0.5) * COLUMNS * perCellMm;
    const up = (0.5 - Math.floor(n / 11) / 8) * ROWS * perCellMm;
    const shot = lampLight(real, lampShot(`lamp${n}.png`, across, up, DISTANCE_MM), 0.01, random);
    if (leak) {
      const astray = leak.share * shot.light.flux[leak.from];
      shot.light.flux[leak.from] -= astray;
      shot.light.flux[leak.to] += astray;
    }
    return shot;
  });
  return { array, shots };
}

function leaksIn({ array, shots }: ReturnType<typeof swept>) {
  return sweepLeaks(array, measurePointing(array, shots, 0, null, null, null));
}
const at = (leaks: ReturnType<typeof leaksIn>) =>
  leaks.find(({ from, to }) => from === LEAK.from && to === LEAK.to)!;

describe('sweepLeaks', () => {
  // Axes of neighbours lie 0.92° apart here, three quarters of the acceptance width.
  const apart = leaksIn(swept(5.4, LEAK));

  test('neighbours that see different lamps: the leak, its share and no other', () => {
    const found = at(apart);
    expect(found.share / found.sigma).toBeGreaterThan(5);
    expect(Math.abs(found.share - LEAK.share)).toBeLessThan(3 * found.sigma);
    // Other neighbours of the tube that gets the light see in part what the leaky one sees.
    const others = apart.filter(({ to }) => to !== LEAK.to);
    // Bonferroni's bound at 1 %.
    const least = Math.min(...others.map(({ share, sigma }) => normalTail(share / sigma)));
    expect(least * others.length).toBeGreaterThan(0.01);
  });

  // The tube that gets so much light is fitted a little aside, which reads the leak a fifth too large: a known shortcoming. Of the
  // light that is left in the leaky tube it would be 0.25, and read 0.31.
  test('a large leak is told as a share of all that entered', () => {
    const large = { ...LEAK, share: 0.2 };
    expect(Math.abs(at(leaksIn(swept(5.4, large))).share - large.share)).toBeLessThan(0.05);
  });

  test('no leak: pairs scatter as stated', () => {
    const leaks = leaksIn(swept(5.4, null));
    // Ten rows of twelve: 8 neighbours each, less those that the rim lacks.
    expect(leaks).toHaveLength(2 * (10 * 11 + 9 * 12) + 4 * 9 * 11);
    const rms = Math.sqrt(
      leaks.reduce((sum, { share, sigma }) => sum + (share / sigma) ** 2, 0) / leaks.length,
    );
    expect(rms).toBeGreaterThan(0.7);
    expect(rms).toBeLessThan(1.3);
  });

  test('neighbours that see nearly the same lamps: the same leak is told less surely, and as stated', () => {
    const found = at(leaksIn(swept(3.3, LEAK)));
    expect(found.sigma).toBeGreaterThan(1.5 * at(apart).sigma);
    expect(Math.abs(found.share - LEAK.share)).toBeLessThan(3 * found.sigma);
  });
});
