import { expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { cellNear, cellPlace, gridPlace, halfSize } from './lattice.js';

const square = exampleResult().array;
const ARRAYS = [
  square,
  { ...square, arrangement: 'hexagonal', shiftedRows: 'odd' } as const,
  { ...square, arrangement: 'hexagonal', shiftedRows: 'even', rows: 7 } as const,
];

test.each(ARRAYS)(
  'every cell of a $arrangement array ($shiftedRows) is found again, up to a third of a pitch off',
  (array) => {
    const { width, height } = halfSize(array);
    for (let cell = 1; cell <= array.rows * array.columns; cell++) {
      const { x, y } = cellPlace(array, cell);
      expect(Math.abs(x)).toBeLessThanOrEqual(width + 1e-9);
      expect(Math.abs(y)).toBeLessThanOrEqual(height + 1e-9);
      for (const [dx, dy] of [
        [0, 0],
        [0.3, -0.15],
        [-0.3, 0.3],
      ] as const) {
        expect(cellNear(array, { x: x + dx, y: y + dy })).toBe(cell);
      }
    }
  },
);

test('rows grow downwards, columns to the right, shifted rows half a pitch to the right', () => {
  const [, odd] = ARRAYS;
  expect(gridPlace(odd!, 2, 1).y - gridPlace(odd!, 1, 1).y).toBeCloseTo(Math.sqrt(3) / 2, 12);
  expect(gridPlace(odd!, 1, 1).x - gridPlace(odd!, 2, 1).x).toBeCloseTo(0.5, 12);
  expect(gridPlace(odd!, 1, 2).x - gridPlace(odd!, 1, 1).x).toBeCloseTo(1, 12);
});

test('outside the array there is no cell', () => {
  const { width, height } = halfSize(square);
  expect(cellNear(square, { x: width + 0.6, y: 0 })).toBeNull();
  expect(cellNear(square, { x: 0, y: -height - 0.6 })).toBeNull();
});
