import type { CellResult, Fault, Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleResult } from '../example/example-result.js';
import { broughtBack, missingShare, tubesAnswer } from './tubes.js';

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

describe('broughtBack', () => {
  test('is the share of the missing light: 1.0 of 1.0 + 0.5 + 0.5', () => {
    const result = tenTubes([
      ['blocked', 0],
      ['weak', 0.5],
      ['weak', 0.5],
      ['open', 3],
    ]);
    // dS/dt: first −(1 − S)/2 = −0.25, the others +S/2 = 0.25 each, with u = 0.02.
    expect(broughtBack(result, 1)!.share).toBeCloseTo(0.5, 12);
    expect(broughtBack(result, 1)!.uncertainty).toBeCloseTo(0.02 * Math.sqrt(3 * 0.25 ** 2), 12);
    expect(broughtBack(result, 3)!.share).toBeCloseTo(1, 12);
  });

  test('a new tube may differ as healthy ones do', () => {
    const even = tenTubes([
      ['blocked', 0],
      ['weak', 0.5],
    ]);
    // Eight healthy tubes 0.03 to either side of 1: a robust standard deviation of 1.4826 · 0.03.
    const cells = even.cells.map((cell, i) =>
      i < 2 ? cell : { ...cell, transmission: { ...cell.transmission, relative: i % 2 ? 1.03 : 0.97 } },
    );
    const uncertainty = Math.hypot(0.02, 1.4826 * 0.03);
    const uneven = { ...even, cells };
    expect(missingShare(uneven).uncertainty).toBeCloseTo((uncertainty * Math.SQRT2) / 10, 6);
    // dS/dt: first −(1 − 2/3)/1.5, the other +2/3/1.5.
    expect(broughtBack(uneven, 1)!.uncertainty).toBeCloseTo(uncertainty * Math.hypot(2 / 9, 4 / 9), 6);
  });

  test('is null where no light is missing', () => {
    expect(broughtBack(tenTubes([['misaimed', 1.01]]), 1)).toBeNull();
  });
});

test('missing light is told against all tubes', () => {
  expect(
    missingShare(
      tenTubes([
        ['blocked', 0],
        ['weak', 0.5],
      ]),
    ).share,
  ).toBeCloseTo(0.15, 12);
});

describe('tubesAnswer', () => {
  test('counts per fault, and says what the first of the list bring', () => {
    const { headline, details } = tubesAnswer(
      tenTubes([
        ['blocked', 0],
        ['weak', 0.5],
        ['weak', 0.5],
      ]),
    );
    expect(headline).toBe('3 of 10 tubes need work: 1 blocked and 2 weak.');
    expect(details[0]!.replaceAll('\u00a0', ' ')).toBe(
      'Together they lack 20.0 ± 0.3 % of the array’s light.',
    );
    expect(details[1]).toMatch(/^Pulling the 3 tubes below first would bring back 100/);
  });

  test('one tube', () => {
    expect(tubesAnswer(tenTubes([['blocked', 0]])).headline).toBe('1 of 10 tubes needs work: 1 blocked.');
  });

  test('none', () => {
    expect(tubesAnswer(tenTubes([])).headline).toBe('None of the 10 tubes needs work.');
  });
});
