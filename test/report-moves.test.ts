import { cellsCsv, reportPage } from '@twolamp/report';
import { describe, expect, test } from 'vitest';
import { exampleResult } from '../packages/words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../packages/report/src/example/example-source.js';
import { cellLine, movesAsked } from './rich/moves.js';

/** Front ends that must go each of the four ways, by unlike amounts. */
const MOVES = [
  { across: 0.8, up: 1.7 },
  { across: -0.6, up: 0.3 },
  { across: 1.2, up: -2.1 },
  { across: -1.9, up: -0.4 },
] as const;

const base = exampleResult();
const result = {
  ...base,
  pull: MOVES.map((_, n) => ({ ...base.pull[0]!, row: 2, column: n + 2, fault: 'misaimed' as const })),
  cells: base.cells.map((cell) => {
    const move = cell.row === 2 ? MOVES[cell.column! - 2] : undefined;
    return move === undefined
      ? { ...cell, fault: 'none' as const, cureShiftMm: null }
      : { ...cell, fault: 'misaimed' as const, cureShiftMm: { ...move, uncertainty: 0.1 } };
  }),
};

describe('front ends to be moved', () => {
  test('the page sends the builder the way that the figures say', () => {
    expect(movesAsked(reportPage(result, null, EXAMPLE_SOURCE))).toEqual(MOVES);
  });

  test('cells.csv has each way in its own column', () => {
    MOVES.forEach(({ across, up }, n) => {
      const value = cellLine(cellsCsv(result), 2, n + 2);
      expect([value('cureShiftMm.across'), value('cureShiftMm.up')]).toEqual([across, up]);
    });
  });
});
