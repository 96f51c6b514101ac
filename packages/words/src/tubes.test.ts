import type { CellResult, Fault, Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { gainOfFirst, tubesAnswer } from './tubes.js';

const example = exampleResult();

/** Ten tubes in a row; the first ones as given. */
function tenTubes(faulty: readonly [Fault, number, seen?: boolean][]): Result {
  const cells = Array.from({ length: 10 }, (_, i): CellResult => {
    const [fault, relative, seen] = faulty[i] ?? ['none', 1];
    return {
      ...example.cells[0]!,
      row: 1,
      column: i + 1,
      seen: seen ?? true,
      transmission: { relative, relativeUncertainty: 0.02, absolute: null, absoluteUncertainty: null },
      fault,
    };
  });
  const pull = cells
    .filter(({ fault }) => fault !== 'none' && fault !== 'open')
    .map(({ cell, row, column, fault }) => ({
      cell,
      row,
      column,
      fault,
      gain: 0.01,
      gainUncertainty: 0.001,
      dipGain: null,
      dipGainUncertainty: null,
    }));
  return { ...example, cells, pull };
}

describe('gainOfFirst', () => {
  const result = tenTubes([
    ['blocked', 0],
    ['weak', 0.5],
    ['weak', 0.5],
    ['open', 3],
  ]);

  test('adds gains, and uncertainties as squares', () => {
    const { gain, uncertainty } = gainOfFirst(result, 2);
    expect(gain).toBeCloseTo(0.02, 12);
    expect(uncertainty).toBeCloseTo(0.001 * Math.SQRT2, 12);
  });

  test('an uncertainty that isn’t known makes that of the sum unknown', () => {
    const pull = result.pull.map((entry, n) => (n === 1 ? { ...entry, gainUncertainty: null } : entry));
    expect(gainOfFirst({ ...result, pull }, 1).uncertainty).toBe(0.001);
    expect(gainOfFirst({ ...result, pull }, 2).uncertainty).toBeNull();
  });
});

describe('tubesAnswer', () => {
  test('counts per fault, and names the first of the list below', () => {
    const { headline, details } = tubesAnswer(
      tenTubes([
        ['blocked', 0],
        ['weak', 0.5],
        ['weak', 0.5],
      ]),
    );
    expect(headline).toBe('3 of 10 tubes need work: 1 blocked and 2 weak.');
    expect(details).toEqual(['These first, rows and columns counted from the back:']);
  });

  test('one tube', () => {
    expect(tubesAnswer(tenTubes([['blocked', 0]])).headline).toBe('1 of 10 tubes needs work: 1 blocked.');
  });

  test('none', () => {
    expect(tubesAnswer(tenTubes([])).headline).toBe('None of the 10 tubes needs work.');
  });
});
