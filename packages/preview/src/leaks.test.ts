import type { CellResult, Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { measuredKernel, measuredLeak, SMALL_ARRAY, typicalResult } from './fixtures/results.js';
import { crosstalkLeaks, mixLeaks, unmixLeaks } from './leaks.js';

const KERNEL = [
  [0, 0.004, 0],
  [0.01, 0.97, 0.012], // the middle says what stays, and isn't a leak
  [0.001, 0.003, 0],
];
const crosstalk = measuredKernel(3, 0.03, KERNEL);
const { rows, columns } = SMALL_ARRAY;
const index = (row: number, column: number) => (row - 1) * columns + column - 1;
const measured = (
  array: Result['array'] = SMALL_ARRAY,
  change?: (cell: CellResult) => Partial<CellResult>,
): Result => ({ ...typicalResult(array, 1, change), crosstalk });
const nobody = () => false;
const lit = (row: number, column: number) =>
  Float64Array.from({ length: rows * columns }, (_, i) => (i === index(row, column) ? 1 : 0));

describe('crosstalkLeaks', () => {
  test('one lit tube draws the kernel, rows downwards, columns to the right', () => {
    const out = mixLeaks(lit(5, 6), crosstalkLeaks(measured(), nobody));
    const around = [4, 5, 6].map((row) => [5, 6, 7].map((column) => out[index(row, column)]));
    KERNEL.forEach((line, row) => {
      line.forEach((share, column) => {
        expect(around[row][column]).toBeCloseTo(share, 12);
      });
    });
    expect(out.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 12);
  });

  test('a tube in the corner keeps what has nowhere to go', () => {
    const out = mixLeaks(lit(1, 1), crosstalkLeaks(measured(), nobody));
    expect(out[index(1, 2)]).toBeCloseTo(0.012, 12);
    expect(out[index(2, 1)]).toBeCloseTo(0.003, 12);
    expect(out[0]).toBeCloseTo(0.985, 12);
  });

  test('hexagonal: half a pitch to the left counts as 0, to the right as 1, whichever rows are shifted', () => {
    for (const shiftedRows of ['odd', 'even'] as const) {
      for (const row of [5, 6]) {
        const array = { ...SMALL_ARRAY, arrangement: 'hexagonal' as const, shiftedRows };
        const out = mixLeaks(lit(row, 6), crosstalkLeaks(measured(array), nobody));
        // The row above in a shifted row begins half a pitch further left.
        const isShifted = (row % 2 === 1) === (shiftedRows === 'odd');
        const halfLeft = isShifted ? 6 : 5;
        expect(out[index(row - 1, halfLeft)]).toBeCloseTo(0.004, 12);
        expect(out[index(row + 1, halfLeft)]).toBeCloseTo(0.003, 12);
        expect(out[index(row + 1, halfLeft + 1)]).toBe(0);
        expect(out[index(row, 5)]).toBeCloseTo(0.01, 12);
      }
    }
  });

  test('a tube that was tested leaks as it did, unless it is replaced', () => {
    const result = measured(SMALL_ARRAY, ({ row, column }) =>
      row === 5 && column === 6 ? { crosstalk: measuredLeak(0.118, { row: 4, column: 6 }, 0.1) } : {},
    );
    const out = mixLeaks(lit(5, 6), crosstalkLeaks(result, nobody));
    expect(out[index(4, 6)]).toBeCloseTo(0.1, 12);
    expect(out[index(5, 6)]).toBeCloseTo(1 - 0.118, 12);
    // The rest of its total, 0.018, goes where the others' 0.026 go.
    expect(out[index(5, 7)]).toBeCloseTo((0.012 * 0.018) / 0.026, 12);
    const replaced = mixLeaks(
      lit(5, 6),
      crosstalkLeaks(result, (cell) => cell === index(5, 6)),
    );
    expect(replaced[index(4, 6)]).toBeCloseTo(0.004, 12);
  });

  test.each([
    ['others were tested too', 3, 0.0045],
    ['it alone was tested: as on the other side', 1, 0.003],
  ])('a leaky tube’s leak is no other tube’s: %s', (_, tubesTested, upwards) => {
    // Upwards the mean is (0.1 + 0.0045 + 0.0045) / 3.
    const mean = KERNEL.map((line) => [...line]);
    mean[0][1] = tubesTested === 1 ? 0.1 : 0.109 / 3;
    const tests = [index(5, 6), index(8, 3), index(9, 9)].slice(0, tubesTested);
    const result: Result = {
      ...measured(SMALL_ARRAY, ({ row, column }) => {
        if (!tests.includes(index(row!, column!))) return {};
        return row === 5
          ? { fault: 'leaky', crosstalk: measuredLeak(0.126, { row: 4, column: 6 }, 0.1) }
          : { crosstalk: measuredLeak(0.0305, { row: row!, column: column! + 1 }, 0.012) };
      }),
      crosstalk: measuredKernel(tubesTested, 0.06, mean),
    };
    const leaks = crosstalkLeaks(result, nobody);
    expect(mixLeaks(lit(7, 7), leaks)[index(6, 7)]).toBeCloseTo(upwards, 12);
    expect(mixLeaks(lit(7, 7), leaks)[index(7, 8)]).toBeCloseTo(0.012, 12);
    expect(mixLeaks(lit(5, 6), leaks)[index(4, 6)]).toBeCloseTo(0.1, 12);
  });

  test('without a measured kernel there are none, and light stays where it is', () => {
    const leaks = crosstalkLeaks(typicalResult(SMALL_ARRAY, 1), nobody);
    expect(leaks).toBeNull();
    expect(mixLeaks(lit(2, 2), leaks)).toEqual(lit(2, 2));
    expect(unmixLeaks(lit(2, 2), leaks)).toEqual({ entered: lit(2, 2), stopped: 'converged' });
  });
});

describe('unmixLeaks', () => {
  test('undoes the mixing', () => {
    const leaks = crosstalkLeaks(measured(), nobody);
    const entered = Float64Array.from({ length: rows * columns }, (_, i) =>
      i % 11 === 3 ? 0 : 1 + 0.3 * Math.sin(i),
    );
    const back = unmixLeaks(mixLeaks(entered, leaks), leaks);
    expect(back.stopped).toBe('converged');
    back.entered.forEach((value, i) => {
      expect(value).toBeCloseTo(entered[i], 8);
    });
  });

  test('says so where more strays than stays, and mixing can’t be undone', () => {
    const strong = {
      ...measured(),
      crosstalk: measuredKernel(3, 0.03, [
        [0.2, 0.2, 0.2],
        [0.2, 0, 0.2],
        [0, 0, 0],
      ]),
    };
    const out = Float64Array.from({ length: rows * columns }, (_, i) => (i % 2) * 1);
    expect(unmixLeaks(out, crosstalkLeaks(strong, nobody)).stopped).toBe('step-limit');
  });

  test('gives no tube less than nothing', () => {
    const leaks = crosstalkLeaks(measured(), nobody);
    const out = new Float64Array(rows * columns).fill(1);
    out[index(5, 6)] = 0; // its neighbours alone would send it 0.029
    const { entered } = unmixLeaks(out, leaks);
    expect(entered[index(5, 6)]).toBe(0);
    expect(Math.min(...entered)).toBe(0);
  });
});
