import type { CellResult, Fault, TubeChange } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { tubeVerdict } from './tube-verdict.js';

interface Look {
  readonly fault: Fault;
  readonly relative?: number;
  readonly errorDeg?: number;
  readonly tested?: boolean;
}

function cell({ fault, relative = 1, errorDeg = 0, tested = false }: Look): CellResult {
  return {
    cell: 1,
    row: 1,
    column: 1,
    atMm: { across: 0, up: 0 },
    state: 'filled',
    xPx: 0,
    yPx: 0,
    seen: true,
    transmission: { relative, relativeUncertainty: 0.01, absolute: null, absoluteUncertainty: null },
    pointing: {
      acrossDeg: 0,
      upDeg: 0,
      uncertaintyDeg: 0.03,
      errorDeg,
      errorUncertaintyDeg: 0.03,
      acceptanceWidthDeg: null,
      acceptanceWidthUncertaintyDeg: null,
    },
    bend: null,
    cureShiftMm: null,
    crosstalk: tested ? { total: 0.01, totalUncertainty: 0.001, worst: null } : null,
    fault,
    reasons: [],
  };
}

function judged(earlier: Look, later: Look, light: boolean | null, aim: boolean | null) {
  const transmission: TubeChange['transmission'] =
    light === null ? null : { earlier: 1, later: 1, change: 0, uncertainty: 0.01, significant: light };
  const pointing: TubeChange['pointing'] =
    aim === null ? null : { acrossDeg: 0, upDeg: 0, uncertaintyDeg: 0.03, significant: aim };
  return tubeVerdict({ transmission, pointing }, { earlier: cell(earlier), later: cell(later) });
}

const NONE = { fault: 'none' } as const;

describe('tubeVerdict', () => {
  test.each<[string, Look, Look, boolean | null, boolean | null]>([
    ['mended', { fault: 'weak' }, NONE, true, null],
    ['mended', { fault: 'open' }, NONE, true, false],
    ['mended', { fault: 'bent' }, NONE, false, true],
    ['mended', { fault: 'misaimed' }, NONE, false, true],
    ['mended', { fault: 'leaky', tested: true }, { fault: 'none', tested: true }, false, null],
    ['new fault', NONE, { fault: 'blocked' }, true, null],
    ['new fault', NONE, { fault: 'misaimed' }, false, true],
    ['worse', { fault: 'weak', relative: 0.7 }, { fault: 'blocked', relative: 0 }, true, null],
    ['worse', { fault: 'bent', errorDeg: 1 }, { fault: 'bent', errorDeg: 2 }, false, true],
    ['still faulty', { fault: 'weak', relative: 0.5 }, { fault: 'weak', relative: 0.7 }, true, null],
    ['still faulty', { fault: 'weak', relative: 0.7 }, { fault: 'weak', relative: 0.69 }, false, null],
    ['still faulty', { fault: 'misaimed', errorDeg: 2 }, { fault: 'misaimed', errorDeg: 1 }, false, true],
    ['changed', NONE, NONE, true, false],
    ['changed', NONE, NONE, false, true],
    ['unchanged', NONE, NONE, false, null],
  ])('%s: %j, then %j; light changed %j, pointing %j', (verdict, earlier, later, light, aim) => {
    expect(judged(earlier, later, light, aim)).toEqual({ verdict, unclear: false });
  });

  test.each<[string, Look, Look, boolean | null, boolean | null]>([
    ['at the threshold of weak', { fault: 'weak' }, NONE, false, false],
    ['misaimed, seen by the one session with a sweep', { fault: 'misaimed' }, NONE, true, null],
    ['leaky, tested in one session', NONE, { fault: 'leaky', tested: true }, true, true],
    ['light not known', NONE, { fault: 'weak' }, null, null],
  ])('%s: no change is shown', (_, earlier, later, light, aim) => {
    expect(judged(earlier, later, light, aim)).toEqual({ verdict: 'unchanged', unclear: true });
  });
});
