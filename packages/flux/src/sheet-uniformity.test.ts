import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { drawCells, type Drawn, testArray } from '../../places/src/fixtures/draw-cells.js';
import { learnDrawn } from './fixtures/learn-drawn.js';
import { rootMeanSquare } from './fixtures/photon-limit.js';
import { sheetScatter } from './sheet-uniformity.js';

const array = testArray(12, 15);
const PITCH = 15;

/** Cloudy paper, 1 on average: random values on grids of 3 to 48 px, each as strong as the others. */
function paper(width: number, height: number, strength: number): Float32Array {
  const random = seededRandom(21);
  const clouds = new Float32Array(width * height).fill(1);
  for (let step = 3; step <= 48; step *= 2) {
    const across = Math.ceil(width / step) + 2;
    const grid = Float64Array.from({ length: across * (Math.ceil(height / step) + 2) }, () =>
      random.normal(),
    );
    clouds.forEach((_, at) => {
      const [x, y] = [(at % width) / step, Math.floor(at / width) / step];
      const [p, q] = [x % 1, y % 1];
      const corner = Math.floor(y) * across + Math.floor(x);
      const upper = grid[corner] * (1 - p) + grid[corner + 1] * p;
      const lower = grid[corner + across] * (1 - p) + grid[corner + across + 1] * p;
      // Between four random values the variance is 4/9 of theirs on average.
      clouds[at] += (1.5 * strength * (upper * (1 - q) + lower * q)) / Math.sqrt(5);
    });
  }
  return clouds;
}

function clouded(strength: number): { drawn: Drawn; scatter: number } {
  const drawn = drawCells({
    array,
    pitchPx: PITCH,
    light: () => 0.4,
    noise: { electrons: 20_000, read: 0.001, random: seededRandom(4) },
  });
  const { width, height, light } = drawn.photo;
  const clouds = paper(width, height, strength);
  const shares = Array.from(drawn.x, (x0, k) => {
    let [sum, all] = [0, 0];
    drawn.clean.forEach((value, at) => {
      const spot = drawn.lightPerFlux(k, at % width, Math.floor(at / width));
      if (Math.abs((at % width) - x0) > PITCH || value === 0) return;
      sum += spot * clouds[at];
      all += spot;
    });
    return sum / all;
  });
  const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
  return {
    drawn: { ...drawn, photo: { ...drawn.photo, light: light.map((value, at) => value * clouds[at]) } },
    scatter: rootMeanSquare(shares.map((share) => share / mean - 1)),
  };
}

describe('sheetScatter', () => {
  test('smooth paper has none', () => {
    expect(sheetScatter(learnDrawn(clouded(0).drawn, array).sheet)).toBe(0);
  });

  test.each([0.01, 0.03])(
    'clouds of %d in a pixel: what they scatter the spots’ light by, to a third',
    (strength) => {
      const { drawn, scatter } = clouded(strength);
      const found = sheetScatter(learnDrawn(drawn, array).sheet);
      expect(Math.abs(found / scatter - 1)).toBeLessThan(1 / 3);
    },
  );
});
