import type { CellsOnPicture } from '@twolamp/flux';
import type { ArraySpec } from '@twolamp/session';
import { expect, test } from 'vitest';
import { spotLight } from './photo-look.js';
import { boreDoubt, seenBorePitches } from './seen-bore.js';

const [SIDE, PITCH_PX] = [8, 15.3];
const COUNT = SIDE * SIDE;

/** Discs on a square grid, blurred at their rims: half of the light is lost there, wherever the rim lies (a straight edge's image). */
function panel(borePitches: number, blurPx: number, unit: number) {
  const size = Math.ceil((SIDE + 1) * PITCH_PX);
  const at = (n: number) => (n + 1) * PITCH_PX;
  const x = Float64Array.from({ length: COUNT }, (_, k) => at(k % SIDE));
  const y = Float64Array.from({ length: COUNT }, (_, k) => at(Math.floor(k / SIDE)));
  const data = new Float32Array(size * size).fill(0.02);
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      for (let k = 0; k < COUNT; k++) {
        const inside = (borePitches * PITCH_PX) / 2 - Math.hypot(column - x[k]!, row - y[k]!);
        data[row * size + column]! += 0.5 / (1 + Math.exp(-inside / blurPx));
      }
    }
  }
  const perPitch = unit * PITCH_PX;
  const cells: CellsOnPicture = {
    x,
    y,
    toPitch: Float64Array.from({ length: 4 * COUNT }, (_, n) =>
      n % 4 === 0 || n % 4 === 3 ? 1 / perPitch : 0,
    ),
    area: new Float64Array(COUNT).fill(perPitch ** 2),
    shade: new Float64Array(2 * COUNT),
    pitchPx: PITCH_PX,
    unit,
  };
  return { picture: { data, width: size, height: size, factor: 1, clipped: null }, cells };
}

test.each([
  { bore: 0.87, blurPx: 0.3, unit: 1 },
  { bore: 0.7, blurPx: 0.6, unit: 1 },
  { bore: 0.5, blurPx: 0.3, unit: 0.6 },
])('a bore of $bore pitches, rims blurred by $blurPx pixels', ({ bore, blurPx, unit }) => {
  const { picture, cells } = panel(bore, blurPx, unit);
  const tubes = Array.from({ length: COUNT }, (_, k) => k);
  const seen = seenBorePitches(picture, cells, tubes, spotLight(picture, cells, tubes, 'square'));
  expect(Math.abs(seen / bore - 1)).toBeLessThan(0.04);
});

test.each([
  { stated: 3.2, doubted: false },
  { stated: 2.9, doubted: false },
  { stated: 2.6, doubted: true },
  { stated: 3.7, doubted: true },
])('spots 3.1 mm wide and a stated bore of $stated mm: doubted, $doubted', ({ stated, doubted }) => {
  const array = { tubeBoreMm: stated, backPitchMm: 4 } as ArraySpec;
  const findings = boreDoubt(array, 3.1 / 4);
  expect(findings.map(({ code, about }) => [code, about])).toEqual(
    doubted ? [['doubt-bore', 'array.tube-bore']] : [],
  );
});
