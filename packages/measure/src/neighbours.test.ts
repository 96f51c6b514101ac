import { expect, test } from 'vitest';
import { LAMP_ARRAY } from '../../flux/src/fixtures/lamp-lights.js';
import { neighboursOf } from './neighbours.js';

const square = { ...LAMP_ARRAY, rows: 5, columns: 6 };
const hexagonal = { ...square, arrangement: 'hexagonal', shiftedRows: 'even' } as const;

test.each([
  ['square, inside: four sides and four corners', square, 2 * 6 + 2, [7, 8, 9, 13, 15, 19, 20, 21]],
  ['square, in the corner', square, 0, [1, 6, 7]],
  // Row 3 isn't shifted: the rows above and below are, and its neighbours there are the same column and the one before.
  ['hexagonal, inside: six sides', hexagonal, 2 * 6 + 2, [7, 8, 13, 15, 19, 20]],
])('%s', (_, array, cell, cells) => {
  expect(neighboursOf(array, cell).map((one) => one.cell)).toEqual(cells);
});
