import { seededRandom } from '@twolamp/optics';
import { comparisonSchema, type Result, type TubeChange } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import {
  type MadeSession,
  madeResolving,
  madeResult,
  type TrueTube,
  trueTubes,
} from '../fixtures/made-result.js';
import { compareResults } from './compare-results.js';

const PANEL = { rows: 20, columns: 25 };
const COUNT = PANEL.rows * PANEL.columns;
/** A camera elsewhere, a sheet laid anew, the array not quite as it stood. */
const LATER: Partial<MadeSession> = {
  gain: 1.013,
  pointingNoiseDeg: 0.03,
  turnDeg: [0.4, -0.2],
  stretch: 1.01,
};
const EARLIER: Partial<MadeSession> = { pointingNoiseDeg: 0.03 };

const isSignificant = ({ transmission, pointing }: TubeChange) =>
  transmission?.significant === true || pointing?.significant === true;
const share = (part: number, whole: number) => part / whole;

/** Tubes that measure below 0.92 are called weak, as a fault finder with a threshold would. */
function withFaults(result: Result): Result {
  const fault = (relative: number) => (relative < 0.92 ? 'weak' : 'none');
  return {
    ...result,
    cells: result.cells.map((cell) => ({ ...cell, fault: fault(cell.transmission.relative!) })),
  };
}

describe('nothing changed but the camera’s place', () => {
  const SESSIONS: [string, Partial<MadeSession>, Partial<MadeSession>][] = [
    ['noise as stated', EARLIER, LATER],
    ['a scatter that isn’t stated', { ...EARLIER, unstatedNoise: 0.01 }, { ...LATER, unstatedNoise: 0.01 }],
    ['bare shots', { ...EARLIER, absoluteGain: 1 }, { ...LATER, absoluteGain: 1 }],
  ];

  test.each(SESSIONS)('%s: at most 0.5 % of the tubes are called changed', (_, earlier, later) => {
    const seeds = 30;
    let called = 0;
    let flipped = 0;
    for (let seed = 0; seed < seeds; seed++) {
      const random = seededRandom(seed);
      const tubes = trueTubes(PANEL, random);
      const results = [earlier, later].map((session) =>
        withFaults(madeResult(PANEL, tubes, session, random)),
      );
      const { tubes: changes } = compareResults(results[0]!, results[1]!);
      flipped += changes.filter(({ faultEarlier, faultLater }) => faultEarlier !== faultLater).length;
      called += changes.filter(
        (tube) => isSignificant(tube) || !['unchanged', 'still faulty'].includes(tube.verdict),
      ).length;
    }
    expect(share(called, seeds * COUNT)).toBeLessThan(0.005);
    // Faults at the threshold come and go; a verdict that followed them alone would break the bound.
    expect(share(flipped, seeds * COUNT)).toBeGreaterThan(0.005);
  });

  test('light and shutter that waver by 2 % between even and bare shot flag no more', () => {
    const seeds = 400;
    let called = 0;
    for (let seed = 0; seed < seeds; seed++) {
      const random = seededRandom(seed, 1);
      const size = { rows: 8, columns: 10 };
      const tubes = trueTubes(size, random);
      const wavering = () => ({ absoluteGain: Math.exp(0.02 * random.normal()) });
      const { tubes: changes } = compareResults(
        madeResult(size, tubes, wavering(), random),
        madeResult(size, tubes, wavering(), random),
      );
      called += share(changes.filter(isSignificant).length, changes.length);
    }
    expect(called / seeds).toBeLessThan(0.005);
  });
});

describe('25 of 500 tubes replaced, light or pointing changed', () => {
  /** Every twentieth tube, not all in one column. */
  const isReplaced = (index: number) => index % 20 === Math.floor(index / 125);

  function replaced(tubes: readonly TrueTube[], change: (tube: TrueTube, sign: number) => Partial<TrueTube>) {
    return tubes.map((tube, index) =>
      isReplaced(index) ? { ...tube, ...change(tube, index % 2 ? 1 : -1) } : tube,
    );
  }

  test.each([
    {
      name: '10 % of their light',
      change: (tube: TrueTube, sign: number) => ({ light: tube.light * (1 + 0.1 * sign) }),
    },
    { name: 'half of their light', change: (tube: TrueTube) => ({ light: 0.5 * tube.light }) },
    {
      name: '0.4° across',
      change: (tube: TrueTube, sign: number) => ({ acrossDeg: tube.acrossDeg + 0.4 * sign }),
    },
  ])('by $name: all are found, with at most 5 % false ones', ({ change }) => {
    let wrong = 0;
    let found = 0;
    for (let seed = 0; seed < 20; seed++) {
      const random = seededRandom(seed, 2);
      const tubes = trueTubes(PANEL, random);
      const comparison = compareResults(
        madeResult(PANEL, tubes, { ...EARLIER, unstatedNoise: 0.005 }, random),
        madeResult(PANEL, replaced(tubes, change), { ...LATER, unstatedNoise: 0.005 }, random),
      );
      comparison.tubes.forEach((tube, index) => {
        if (isReplaced(index)) expect(tube.verdict).toBe('changed');
        else if (isSignificant(tube)) wrong++;
        if (isSignificant(tube)) found++;
      });
    }
    // Light and pointing are judged separately, so a change of one comes with the chance of the other.
    expect(share(wrong, found)).toBeLessThan(0.05);
  });
});

describe('the light of the array as a whole', () => {
  const random = seededRandom(3);
  const tubes = trueTubes(PANEL, random);
  const compared = (earlier: Partial<MadeSession>, later: Partial<MadeSession>) =>
    compareResults(madeResult(PANEL, tubes, earlier, random), madeResult(PANEL, tubes, later, random));
  const changes = (comparison: ReturnType<typeof compared>) =>
    comparison.tubes.map(({ transmission }) => transmission!.change);
  const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

  test('a fitted scale is recovered within its uncertainty, and taken out', () => {
    const scores = Array.from({ length: 100 }, () => {
      const { scale } = compared({}, { gain: 1.03 });
      expect(scale!.basis).toBe('fitted');
      return (scale!.later - 1.03) / scale!.uncertainty!;
    });
    // Standard normal scores: 95 % within 1.96; the chance of fewer than 89 of 100 is 1 % (binomial).
    expect(scores.filter((score) => Math.abs(score) < 1.96).length).toBeGreaterThanOrEqual(89);
    // 500 changes of 0.0085 each have a mean known to 0.0004: five of those.
    expect(Math.abs(meanOf(changes(compared({}, { gain: 1.03 }))))).toBeLessThan(0.002);
  });

  test('a loss of all tubes alike can’t be seen without bare shots, and it says so', () => {
    const { notes } = compared({}, {});
    expect(notes.find(({ about }) => about === 'scale')!.says).toContain('lost or gained alike');
  });

  test('with bare shots a loss of 20 % is each tube’s change', () => {
    const comparison = compared({ absoluteGain: 1 }, { absoluteGain: 0.8 });
    expect(comparison.scale!.basis).toBe('absolute');
    expect(Math.abs(comparison.scale!.later - 0.8)).toBeLessThan(0.002);
    // Each session’s level is taken to repeat within 2.5 %; the fit adds next to nothing.
    expect(Math.abs(comparison.scale!.uncertainty! / 0.8 - Math.SQRT2 * 0.025)).toBeLessThan(0.001);
    expect(comparison.tubes.every((tube) => tube.transmission!.significant)).toBe(true);
    expect(Math.abs(meanOf(changes(comparison)) + 0.2)).toBeLessThan(0.005);
  });

  test('with bare shots a loss of 2 % is said as not shown, and taken out', () => {
    const comparison = compared({ absoluteGain: 1 }, { absoluteGain: 0.98 });
    expect(Math.abs(comparison.scale!.later - 0.98)).toBeLessThan(0.002);
    expect(comparison.notes.find(({ about }) => about === 'scale')!.says).toContain('isn’t shown');
    expect(Math.abs(meanOf(changes(comparison)))).toBeLessThan(0.002);
  });

  test('sessions that don’t agree anywhere are told as such', () => {
    const others = trueTubes(PANEL, random);
    const comparison = compareResults(
      madeResult(PANEL, tubes, {}, random),
      madeResult(PANEL, others, {}, random),
    );
    expect(comparison.notes.find(({ about }) => about === 'tubes')!.says).toContain(
      'most tubes have changed',
    );
    expect(comparison.tubes.filter(isSignificant).length).toBeLessThan(0.01 * COUNT);
  });
});

describe('what differs between any two sessions is no change', () => {
  const random = seededRandom(6);
  const tubes = trueTubes(PANEL, random);
  const one = madeResult(PANEL, tubes, EARLIER, random);

  test('the neighbours’ light in a dark tube: half a per cent of a typical one', () => {
    const dark = (relative: number): Result => {
      const cells = one.cells.map((cell, index) =>
        index === 30
          ? {
              ...cell,
              fault: 'blocked' as const,
              transmission: { ...cell.transmission, relative, relativeUncertainty: 0.001 },
            }
          : cell,
      );
      return { ...one, cells };
    };
    const isChanged = (later: number) => isSignificant(compareResults(dark(0.01), dark(later)).tubes[30]!);
    expect(isChanged(0.004)).toBe(false);
    expect(isChanged(0.06)).toBe(true);
  });

  test('a lamp a millimetre or two aside', () => {
    const aside = (degrees: number): Result => {
      const cells = one.cells.map((cell, index) => {
        const pointing = { ...cell.pointing!, uncertaintyDeg: 0.003 };
        return {
          ...cell,
          pointing: index === 30 ? { ...pointing, upDeg: pointing.upDeg + degrees } : pointing,
        };
      });
      return { ...one, cells };
    };
    const isChanged = (degrees: number) => isSignificant(compareResults(aside(0), aside(degrees)).tubes[30]!);
    expect(isChanged(0.04)).toBe(false);
    expect(isChanged(0.2)).toBe(true);
  });
});

describe('odd input', () => {
  const size = { rows: 4, columns: 6 };
  const random = seededRandom(4);
  const tubes = trueTubes(size, random);
  const made = (session: Partial<MadeSession> = {}) => madeResult(size, tubes, session, random);
  const about = (result: ReturnType<typeof compareResults>, word: string) =>
    result.notes.filter((note) => note.about === word).map(({ says }) => says);

  test('a result against itself: no change anywhere, and what is written is valid', () => {
    const result = { ...made({ absoluteGain: 1, pointingNoiseDeg: 0.03 }), resolving: madeResolving(3) };
    const comparison = compareResults(result, result);
    expect(comparisonSchema.parse(JSON.parse(JSON.stringify(comparison)))).toEqual(comparison);
    for (const tube of comparison.tubes) {
      expect(Math.abs(tube.transmission!.change)).toBeLessThan(1e-12);
      expect(Math.abs(tube.pointing!.acrossDeg)).toBeLessThan(1e-12);
      expect(tube.verdict).toBe('unchanged');
    }
    expect(comparison.scale!.later).toBe(1);
    expect(comparison.resolving!.differenceM).toBe(0);
  });

  test('cells match by row and column, not by their place in the file', () => {
    const [earlier, later] = [made(), made()];
    const shuffled = { ...later, cells: [...later.cells].reverse() };
    expect(compareResults(earlier, shuffled)).toEqual(compareResults(earlier, later));
  });

  test('the results stay as they were', () => {
    const [earlier, later] = [made(), made()];
    const before = structuredClone([earlier, later]);
    compareResults(earlier, later);
    expect([earlier, later]).toEqual(before);
  });

  test('a tube not measured in one session has no change, the others have', () => {
    const later = made({ pointingNoiseDeg: 0.03 });
    const cells = later.cells.map((cell, index) =>
      index === 7
        ? {
            ...cell,
            transmission: {
              relative: null,
              relativeUncertainty: null,
              absolute: null,
              absoluteUncertainty: null,
            },
            pointing: null,
          }
        : cell,
    );
    const comparison = compareResults(made({ pointingNoiseDeg: 0.03 }), { ...later, cells });
    const missing = comparison.tubes.flatMap(({ transmission, pointing }, index) =>
      transmission === null || pointing === null ? [index] : [],
    );
    expect(missing).toEqual([7]);
  });

  test('no healthy tubes in common: no scale, no changes, and why', () => {
    const faulty = made();
    faulty.cells.forEach((cell) => {
      cell.fault = 'weak';
    });
    const comparison = compareResults(made(), faulty);
    expect([comparison.scale, comparison.tubes[0]!.transmission]).toEqual([null, null]);
    expect(about(comparison, 'scale')[0]).toContain('Only 0 tubes are healthy');
    expect(about(comparison, 'tubes')[0]).toContain('24 tubes are faulty in one session only');
  });

  test.each([
    ['rows', { rows: 5, columns: 6 }, {}, 'earlier 4 × 6 tubes, square; later 5 × 6 tubes, square'],
    [
      'arrangement',
      size,
      { arrangement: 'hexagonal', shiftedRows: 'odd' },
      'later 4 × 6 tubes, hexagonal, odd rows shifted',
    ],
  ] as const)(
    'arrays that differ in %s are compared as wholes, and it says why',
    (_, otherSize, array, says) => {
      const session = { absoluteGain: 1, pointingNoiseDeg: 0.03 };
      const other = madeResult(
        otherSize,
        trueTubes(otherSize, random),
        { ...session, absoluteGain: 0.7 },
        random,
      );
      const comparison = compareResults(
        { ...made(session), resolving: madeResolving(3) },
        { ...other, array: { ...other.array, ...array }, resolving: madeResolving(4) },
      );
      expect(comparison.tubes).toEqual([]);
      expect(about(comparison, 'tubes')[0]).toContain(says);
      expect(comparison.resolving!.verdict).toBe('farther');
      expect(about(comparison, 'faults')[0]).toMatch(/^Faulty: 0 of 24 tubes/);
      // The medians of 24 to 30 tubes that scatter by 3.5 %: 0.9 % each, three of both together.
      expect(Math.abs(comparison.scale!.later / 0.7 - 1)).toBeLessThan(0.04);
      expect(comparison.scale!.basis).toBe('absolute');
    },
  );

  test('arrays of different size without bare shots: no word on light', () => {
    const larger = { rows: 5, columns: 6 };
    const comparison = compareResults(made(), madeResult(larger, trueTubes(larger, random), {}, random));
    expect(comparison.scale).toBeNull();
    expect(about(comparison, 'scale')[0]).toContain('a bare shot each');
  });

  test('another bore: what is uncertain about each bore counts as well', () => {
    const [earlier, later] = [made({ absoluteGain: 1 }), made({ absoluteGain: 1 })];
    const other = { ...later, array: { ...later.array, tubeBoreMm: 2.5 } };
    const { scale } = compareResults(earlier, other);
    // 2.5 % and the stated 0.8 % of each session; the fit to 24 tubes adds 0.2 %.
    const expected = Math.SQRT2 * Math.hypot(0.025, 0.008);
    expect(Math.abs(scale!.uncertainty! / scale!.later - expected)).toBeLessThan(0.001);
  });

  test('stated dimensions that differ are told', () => {
    const later = made();
    const comparison = compareResults(made(), { ...later, array: { ...later.array, frontPitchMm: 4.5 } });
    expect(about(comparison, 'array')).toEqual([
      'The stated dimensions differ: front pitch 4.2 mm earlier, 4.5 mm later.',
    ]);
    expect(comparison.tubes).toHaveLength(24);
  });

  test.each([
    [
      'the earlier result: row 1, column 1 is there twice',
      (cells: Result['cells']) => [...cells.slice(0, -1), cells[0]!],
      0,
    ],
    [
      'the later result: row 9, column 1 lies outside the array',
      (cells: Result['cells']) => [{ ...cells[0]!, row: 9 }, ...cells.slice(1)],
      1,
    ],
    ['the later result: 23 cells', (cells: Result['cells']) => cells.slice(1), 1],
  ] as const)('%s', (message, spoil, which) => {
    const results = [made(), made()];
    results[which] = { ...results[which]!, cells: [...spoil(results[which]!.cells)] };
    expect(() => compareResults(results[0]!, results[1]!)).toThrow(message);
  });
});
