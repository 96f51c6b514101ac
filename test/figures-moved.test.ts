import type { Result } from '@twolamp/session';
import { expect, test } from 'vitest';
import { figuresMoved } from '../bench/doubt/figures-moved.js';

/** What of a result a mistake could move here: 95 % of the distance lie within 1.96 · 0.05 m, 1.96 · 0.01° of the direction. */
function resultWith({ distanceM = 2, acrossDeg = 1, fault = 'none' } = {}): Result {
  const result = {
    resolving: { bound: 'within', distanceM, lowM: distanceM - 0.098, highM: distanceM + 0.098 },
    wall: null,
    crosstalk: null,
    cells: [
      {
        cell: 7,
        fault,
        transmission: { relative: 1, relativeUncertainty: 0.01 },
        pointing: { acrossDeg, upDeg: 0, uncertaintyDeg: 0.01 },
        bend: null,
        cureShiftMm: null,
      },
    ],
    pairs: [],
    pull: [],
    repairs: [],
  };
  return result as unknown as Result;
}

test.each([
  { what: 'nothing', wrong: {}, moved: [] },
  { what: 'the distance within one standard uncertainty', wrong: { distanceM: 2.045 }, moved: [] },
  { what: 'the distance beyond it', wrong: { distanceM: 2.055 }, moved: ['resolving distance'] },
  { what: "a tube's direction within 1.96", wrong: { acrossDeg: 1.019 }, moved: [] },
  { what: "a tube's direction beyond", wrong: { acrossDeg: 1.021 }, moved: ['direction across of tube 7'] },
  { what: 'a fault', wrong: { fault: 'bent' }, moved: ['fault of tube 7'] },
])('a mistake that moves $what', ({ wrong, moved }) => {
  expect(figuresMoved(resultWith(), resultWith(wrong))).toEqual(moved);
});
