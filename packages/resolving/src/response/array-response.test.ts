import { circleOverlap, mirrorTransmission, seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import {
  degrees,
  LAMP_ARRAY,
  lampLight,
  lampShot,
  pairLight,
  pairShot,
  type RealArray,
  scattered,
  scatteredMisaim,
} from '../../../flux/src/fixtures/lamp-lights.js';
import { learnArrayResponse } from './array-response.js';
import { viewLamps } from './lamp-view.js';
import { halfWidthOf } from './radial-spline.js';

const EVEN = new Float64Array(LAMP_ARRAY.rows * LAMP_ARRAY.columns).fill(1);
const RATIO = LAMP_ARRAY.tubeBoreMm / LAMP_ARRAY.tubeLengthMm;
const DISTANCE_MM = 1500;
/** A lamp in front of every other tube or so: 25 places, close enough that a tube sees several. */
const PLACES = [-2, -1, 0, 1, 2].flatMap((x) => [-2, -1, 0, 1, 2].map((y) => [10 * x, 10 * y] as const));

const SPACING_MM = 20;
const PAIR_DISTANCES_MM = [900, 1300, 1900];

const blackWalls = (slope: number) => circleOverlap(slope / RATIO);
const tailed = (slope: number) => 0.95 * 0.5 ** ((slope / 0.008) ** 2) + 0.05 * 0.5 ** ((slope / 0.024) ** 2);

/** Wide: an array that fans out less, with lamps a little nearer to its middle, would show nearly the same. */
const glossyWalls = (slope: number) =>
  mirrorTransmission(
    slope,
    { boreMm: LAMP_ARRAY.tubeBoreMm, lengthMm: LAMP_ARRAY.tubeLengthMm },
    { index: 1.5, extinction: 0, gloss: 0.8 },
  );

/** Slope at which a response is down to a half, by bisection. */
function halfOf(response: (slope: number) => number): number {
  let [low, high] = [0, 0.1];
  for (let n = 0; n < 60; n++) {
    const middle = (low + high) / 2;
    if (response(middle) > 0.5) low = middle;
    else high = middle;
  }
  return low;
}

function learn(response: (slope: number) => number, scatterDeg: number) {
  const random = seededRandom(11);
  const misaim = scatteredMisaim(LAMP_ARRAY, scatterDeg, random);
  const real: RealArray = { array: LAMP_ARRAY, response, misaim };
  const off = PLACES.map(() => [1.5 * random.normal(), 1.5 * random.normal()] as const);
  const lights = PLACES.map(([across, up], n) =>
    lampLight(real, lampShot(`${n}.png`, across, up, DISTANCE_MM), 0.01, random, {
      acrossMm: across + off[n][0],
      upMm: up + off[n][1],
    }),
  );
  // Lamps alone can't tell a wide response from an array that fans out less.
  const pairs = PAIR_DISTANCES_MM.flatMap((distanceMm) =>
    [0, 4, 8].map((nudge) =>
      pairLight(
        real,
        pairShot(`${distanceMm} ${nudge}.png`, SPACING_MM, distanceMm, nudge, nudge / 2),
        0.01,
        random,
      ),
    ),
  );
  const views = [...lights, ...pairs].map((one) => viewLamps(LAMP_ARRAY, one, EVEN, 0));
  return { learned: learnArrayResponse(LAMP_ARRAY, views)!, off, misaim };
}

describe('learnArrayResponse', () => {
  test.each([
    { name: 'black walls', response: blackWalls, scatterDeg: 0.05 },
    { name: 'a Gaussian with a tail', response: tailed, scatterDeg: 0.1 },
  ])('$name, tubes scattered by $scatterDeg°', ({ response, scatterDeg }) => {
    const { learned, off } = learn(response, scatterDeg);
    const width = halfWidthOf(learned.mean) / halfOf(scattered(response, degrees(scatterDeg)));
    const scatter = learned.tubes.scatter / degrees(scatterDeg);
    // Seen from the array, a lamp stands off by its displacement over the distance.
    const errors = off.flatMap((stray, n) =>
      [0, 1].map(
        (axis) => learned.alignment.aim[axis] + learned.fits[n].shift[axis] + stray[axis] / DISTANCE_MM,
      ),
    );
    const rms = Math.hypot(...errors) / Math.sqrt(errors.length);
    expect(learned.stopped).toBe('converged');
    // The resolving distance goes with the width: the goal of both is 3 %.
    expect(Math.abs(width - 1)).toBeLessThan(0.03);
    expect(Math.abs(scatter - 1)).toBeLessThan(0.2);
    expect(rms).toBeLessThan(0.5 * degrees(scatterDeg));
  });

  test('the width of glossy tubes that all look where they should comes out to 2 %', () => {
    const random = seededRandom(11);
    const misaim = new Float64Array(2 * EVEN.length);
    const real: RealArray = { array: LAMP_ARRAY, response: glossyWalls, misaim, widening: 0.2 };
    const lit = [
      ...PLACES.map(([across, up], n) =>
        lampLight(real, lampShot(`${n}.png`, across, up, DISTANCE_MM), 0.001, random),
      ),
      ...PAIR_DISTANCES_MM.map((distanceMm) =>
        pairLight(real, pairShot(`${distanceMm}.png`, SPACING_MM, distanceMm, 0, 0), 0.001, random),
      ),
    ];
    const views = lit.map((one) => viewLamps(LAMP_ARRAY, one, EVEN, 0));
    const learned = learnArrayResponse(LAMP_ARRAY, views)!;
    expect(Math.abs(halfWidthOf(learned.spline) / halfOf(glossyWalls) - 1)).toBeLessThan(0.02);
  });

  test.each([
    { name: 'a lamp beside the array', spoil: lampShot('aside.png', 4000, 0, DISTANCE_MM), clipped: 0 },
    { name: 'a shot all clipped', spoil: lampShot('clipped.png', 0, 0, DISTANCE_MM), clipped: 1 },
  ])('$name takes nothing from the others', ({ spoil, clipped }) => {
    const random = seededRandom(5);
    const real = {
      array: LAMP_ARRAY,
      response: blackWalls,
      misaim: scatteredMisaim(LAMP_ARRAY, 0.05, random),
    };
    const shots = PLACES.map(([across, up], n) => lampShot(`${n}.png`, across, up, DISTANCE_MM));
    const lit = shots.map((shot) => lampLight(real, shot, 0.01, random));
    const spoilt = lampLight(real, spoil, 0.01, random);
    spoilt.light.clipped.fill(clipped);
    const [without, withIt] = [lit, [...lit, spoilt]].map(
      (all) =>
        learnArrayResponse(
          LAMP_ARRAY,
          all.map((one) => viewLamps(LAMP_ARRAY, one, EVEN, 0)),
        )!,
    );
    expect(halfWidthOf(withIt.mean) / halfWidthOf(without.mean)).toBeCloseTo(1, 2);
  });

  test('light far from where any lamp is stated tells nothing', () => {
    const random = seededRandom(4);
    const real: RealArray = {
      array: LAMP_ARRAY,
      response: blackWalls,
      misaim: new Float64Array(2 * EVEN.length),
    };
    const { light } = lampLight(real, lampShot('here.png', 0, 0, DISTANCE_MM), 0.01, random);
    // So many that no aim of the array as a whole explains them.
    const views = [-4000, 4000].map((across) =>
      viewLamps(LAMP_ARRAY, { shot: lampShot(`${across}.png`, across, 0, DISTANCE_MM), light }, EVEN, 0),
    );
    expect(learnArrayResponse(LAMP_ARRAY, views)).toBeNull();
  });

  test('too few lit cells tell nothing', () => {
    const random = seededRandom(3);
    const real = { array: LAMP_ARRAY, response: () => 0, misaim: new Float64Array(2 * EVEN.length) };
    const dark = lampLight(real, lampShot('dark.png', 0, 0, DISTANCE_MM), 0.01, random);
    expect(learnArrayResponse(LAMP_ARRAY, [viewLamps(LAMP_ARRAY, dark, EVEN, 0)])).toBeNull();
    expect(learnArrayResponse(LAMP_ARRAY, [])).toBeNull();
  });
});
