import { expect, test } from 'vitest';
import { drawCells, gaussianSpot, hexagonalArray } from '../fixtures/draw-cells.js';
import { packedPitch } from './pitch.js';

// A first look is taken at some 800 pixels: there the finest of these are blurred away, and every second one shows.
test.each([
  [12, 14, 15],
  [40, 120, 9],
  [30, 150, 10.6],
  [20, 150, 11],
])('%d × %d tubes, %d pixels apart', (rows, columns, pitchPx) => {
  const spot = gaussianSpot(0.3);
  const { photo } = drawCells({ array: hexagonalArray(rows, columns, 'odd'), pitchPx, spot });
  const found = packedPitch(photo, 0.2 * rows * columns);
  expect(Math.abs((found ?? 0) / pitchPx - 1)).toBeLessThan(0.06);
});
