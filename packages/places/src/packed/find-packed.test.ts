import { seededRandom } from '@twolamp/optics';
import type { ArraySpec, LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { drawCells, hexagonalArray, photograph } from '../fixtures/draw-cells.js';
import { findPacked } from './find-packed.js';

const [ROWS, COLUMNS, PITCH_PX] = [14, 16, 15];
const BUNDLE: ArraySpec = {
  name: 'Test bundle',
  arrangement: 'packed',
  rows: 0,
  columns: 0,
  tubes: ROWS * COLUMNS,
  tubeLengthMm: 120,
  tubeBoreMm: 2.4,
  backPitchMm: 3,
  frontPitchMm: 3,
};

const drawn = drawCells({ array: hexagonalArray(ROWS, COLUMNS, 'odd'), pitchPx: PITCH_PX });

/** The picture without so many pixels on its left. */
function cropped(leftPx: number): LinearPhoto {
  const { width, height } = drawn.photo;
  const across = width - leftPx;
  const clean = new Float32Array(across * height);
  for (let y = 0; y < height; y++)
    clean.set(drawn.clean.subarray(y * width + leftPx, (y + 1) * width), y * across);
  return photograph(clean, across, height, { electrons: 20_000, read: 0.001, random: seededRandom(2) });
}

describe('findPacked', () => {
  test('a bundle that lies inside the picture: every tube, where it is', () => {
    const { lattice, picture } = findPacked(cropped(0), BUNDLE, 'even.png');
    expect(lattice.x).toHaveLength(ROWS * COLUMNS);
    const toPhoto = (at: number) => picture.factor * at + (picture.factor - 1) / 2;
    for (let k = 0; k < ROWS * COLUMNS; k++) {
      const nearest = Math.min(
        ...Array.from(lattice.x, (x, n) =>
          Math.hypot(toPhoto(x) - drawn.x[k]!, toPhoto(lattice.y[n]!) - drawn.y[k]!),
        ),
      );
      expect(nearest).toBeLessThan(0.3);
    }
  });

  test('a bundle that the picture’s edge cuts is refused, with how many of its tubes', () => {
    // The left column of every second row is cut through its middle.
    const left = Math.round(Math.max(drawn.x[0]!, drawn.x[COLUMNS]!));
    expect(() => findPacked(cropped(left), BUNDLE, 'even.png')).toThrow(
      /cuts (?:[5-9]|1\d) of the 2\d\d tubes.*the whole bundle inside the picture/,
    );
  });
});
