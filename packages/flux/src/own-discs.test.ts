import { expect, test } from 'vitest';
import type { CellsOnPicture } from './cells-on-picture.js';
import { OwnDiscs } from './own-discs.js';
import { roundProfile } from './spot-profile.js';
import { makeStamps, reachedPixels } from './stamps.js';

const [WIDTH, HEIGHT] = [60, 40];
/** One cell in the middle, one that the picture's rim cuts; seen aslant and stretched. */
const cells: CellsOnPicture = {
  x: Float64Array.of(31.3, 2.4),
  y: Float64Array.of(18.8, 36.1),
  toPitch: Float64Array.of(0.07, 0.012, -0.02, 0.09, 0.07, 0.012, -0.02, 0.09),
  area: new Float64Array(2).fill(150),
  shade: new Float64Array(4),
  pitchPx: 12,
  unit: 1,
};
const stamps = makeStamps(cells, () => roundProfile(0.4, 0.09), WIDTH, HEIGHT);

/** Distance of a pixel from a cell's middle, pitches. */
function pitchesTo(k: number, x: number, y: number): number {
  const [a, b, c, d] = cells.toPitch.subarray(4 * k, 4 * k + 4) as unknown as [
    number,
    number,
    number,
    number,
  ];
  const [dx, dy] = [x - cells.x[k], y - cells.y[k]];
  return Math.hypot(a * dx + b * dy, c * dx + d * dy);
}

test.each([0, 1])('of cell %d: the pixels nearer than half a pitch', (k) => {
  const discs = new OwnDiscs(cells, stamps);
  discs.take(1 - k);
  discs.take(k);
  let found = 0;
  for (let row = 0; row < stamps.height[k]; row++) {
    for (let column = 0; column < stamps.width[k]; column++) {
      const isOwn = column >= discs.from[row] && column < discs.end[row];
      expect(isOwn).toBe(pitchesTo(k, stamps.left[k] + column, stamps.top[k] + row) < 0.5);
      if (isOwn) found++;
    }
  }
  expect(found).toBeGreaterThan(k === 0 ? 90 : 20);
});

test('pixels that a profile reaches: those nearer than 0.95 pitches to a cell', () => {
  const expected = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, at) =>
    Number([0, 1].some((k) => pitchesTo(k, at % WIDTH, Math.floor(at / WIDTH)) < 0.95)),
  );
  expect(reachedPixels(cells, WIDTH, HEIGHT)).toEqual(expected);
});
