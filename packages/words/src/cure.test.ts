import type { CellResult } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { cureSentence, remedySentence } from './cure.js';

const misaimed = (across: number, up: number): CellResult => ({
  ...exampleResult().cells[0]!,
  fault: 'misaimed',
  cureShiftMm: { across, up, uncertainty: null },
});

describe('where to move a front end', () => {
  test.each([
    ['back', 1.26, -0.52, 'Move its front end 1.3 mm to the right and 0.5 mm down, seen from the back.'],
    ['front', 1.26, -0.52, 'Move its front end 1.3 mm to the left and 0.5 mm down, seen from the front.'],
    ['back', -1.1, 0.04, 'Move its front end 1.1 mm to the left, seen from the back.'],
    ['front', 0.01, 0.7, 'Move its front end 0.7 mm up, seen from the front.'],
  ] as const)('from the %s: %f mm across, %f mm up', (from, across, up, says) => {
    expect(cureSentence(misaimed(across, up), from).replaceAll('\u00a0', ' ')).toBe(says);
  });

  test('a move too small for a hand is none', () => {
    expect(cureSentence(misaimed(0.02, -0.04))).toBe('');
    expect(remedySentence(misaimed(0.02, -0.04), 'back')).toBe('Set its front end anew or replace it.');
  });
});
