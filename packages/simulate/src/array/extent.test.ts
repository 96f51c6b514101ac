import { expect, test } from 'vitest';
import { cellsExtentMm } from './extent.js';

const size = { rows: 5, columns: 7, tubeLengthMm: 120, tubeBoreMm: 2.5, backPitchMm: 3, frontPitchMm: 3.6 };

test('square: a pitch for each cell; hexagonal: half a pitch wider, rows √3/2 apart', () => {
  expect(cellsExtentMm({ ...size, arrangement: 'square' })).toEqual({ across: 21, up: 15 });
  for (const shiftedRows of ['odd', 'even'] as const) {
    const { across, up } = cellsExtentMm({ ...size, arrangement: 'hexagonal', shiftedRows });
    expect(across).toBeCloseTo(22.5, 12);
    expect(up).toBeCloseTo((4 * (Math.sqrt(3) / 2) + 1) * 3, 12);
  }
});
