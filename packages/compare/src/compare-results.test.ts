import { seededRandom } from '@twolamp/optics';
import { type Comparison, finding, type Result, type TubeChange } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { type MadeSession, madeResult, type TrueTube, trueTubes } from './fixtures/made-result.js';
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
const codes = ({ findings }: Comparison) => findings.map(({ code }) => code);
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
      const { tubes: changes } = compareResults(results[0], results[1]);
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

describe('what both sessions state for the same tubes and err by alike', () => {
  // As where the array's trend leaves 0.01 of each tube's light open, and noise 0.004: figures of bench/compare.
  const SHARED = { lightNoise: 0.004, statedNoise: 0.01 } as const;

  test('is not in the uncertainty of a change, which holds 95 % of the changes that are noise alone', () => {
    const pulls = Array.from({ length: 10 }, (_, seed) => {
      const random = seededRandom(seed, 4);
      const tubes = trueTubes(PANEL, random);
      const [earlier, later] = [SHARED, { ...SHARED, ...LATER }].map((session) =>
        madeResult(PANEL, tubes, session, random),
      );
      return compareResults(earlier, later).tubes.map(
        ({ transmission }) => transmission!.change / transmission!.uncertainty,
      );
    }).flat();
    const rms = Math.sqrt(pulls.reduce((sum, pull) => sum + pull ** 2, 0) / pulls.length);
    // Noise of 0.0057, which the tubes' own scatter shows but for two standard errors of some 0.05.
    expect(rms).toBeGreaterThan(0.85);
    expect(rms).toBeLessThan(1);
  });

  // A hole is mostly brighter than the photo's scale: each session reads another bound.
  test('a hole open in both sessions says nothing of a change, one that was filled does', () => {
    const random = seededRandom(2, 4);
    const tubes = trueTubes(PANEL, random);
    const withHole = (light: number | null) =>
      madeResult(
        PANEL,
        tubes.map((tube, index) =>
          index === 30 && light !== null ? { ...tube, light, fault: 'open' } : tube,
        ),
        SHARED,
        random,
      );
    const [first, second, filled] = [withHole(2.6), withHole(2.2), withHole(null)];
    const still = compareResults(first, second).tubes[30];
    expect([still.transmission, still.verdict]).toEqual([null, 'still faulty']);
    const mended = compareResults(first, filled).tubes[30];
    expect([mended.transmission!.significant, mended.verdict]).toEqual([true, 'mended']);
  });

  test('a tube beside an open hole may read otherwise by what the hole lends it', () => {
    const random = seededRandom(4, 4);
    const tubes = trueTubes(PANEL, random).map(
      (tube, index): TrueTube => (index === 30 ? { ...tube, light: 2.6, fault: 'open' } : tube),
    );
    const lent = (light: number) =>
      tubes.map((tube, index) =>
        [29, 31, 60].includes(index) ? { ...tube, light: tube.light + light } : tube,
      );
    const steady = { lightNoise: 0.0015 };
    const { tubes: changes } = compareResults(
      madeResult(PANEL, tubes, steady, random),
      madeResult(PANEL, lent(0.016), steady, random),
    );
    // Rows have 25 tubes: 29 and 31 lie beside the hole, 60 does not.
    expect([29, 31, 60].map((index) => isSignificant(changes[index]))).toEqual([false, false, true]);
  });

  // A sheet laid anew lets other shares of the neighbours' light into a tube that passes none, 0.005 of a typical tube's.
  test.each([
    [0.002, 0.006, false],
    [0.002, 0.04, true],
  ])('a dark tube that reads %d, then %d: changed %s', (light, then, isChanged) => {
    const random = seededRandom(3, 4);
    const tubes = trueTubes(PANEL, random);
    const dark = (own: number) =>
      tubes.map((tube, index): TrueTube => (index === 30 ? { ...tube, light: own, fault: 'blocked' } : tube));
    const steady = { lightNoise: 0.0005 };
    const { tubes: changes } = compareResults(
      madeResult(PANEL, dark(light), steady, random),
      madeResult(PANEL, dark(then), steady, random),
    );
    expect(isSignificant(changes[30])).toBe(isChanged);
    expect(changes[30].transmission!.uncertainty).toBeGreaterThan(0.0049);
  });

  test('5 % of a tube’s light are found, which are 3.5 of the uncertainties stated for both', () => {
    const random = seededRandom(1, 4);
    const tubes = trueTubes(PANEL, random);
    const mended = tubes.map((tube, index) => (index === 30 ? { ...tube, light: tube.light + 0.05 } : tube));
    const { tubes: changes } = compareResults(
      madeResult(PANEL, tubes, SHARED, random),
      madeResult(PANEL, mended, SHARED, random),
    );
    expect(changes.flatMap((tube, index) => (isSignificant(tube) ? [index] : []))).toEqual([30]);
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
    expect(compared({}, {}).findings).toContainEqual(finding('common-light-unseen', 'scale', {}));
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
    expect(codes(comparison)).toContain('common-light-not-changed');
    expect(Math.abs(meanOf(changes(comparison)))).toBeLessThan(0.002);
  });

  test('sessions that don’t agree anywhere are told as such', () => {
    const others = trueTubes(PANEL, random);
    const comparison = compareResults(
      madeResult(PANEL, tubes, {}, random),
      madeResult(PANEL, others, {}, random),
    );
    expect(codes(comparison)).toContain('sessions-disagree');
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
    const isChanged = (later: number) => isSignificant(compareResults(dark(0.01), dark(later)).tubes[30]);
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
    const isChanged = (degrees: number) => isSignificant(compareResults(aside(0), aside(degrees)).tubes[30]);
    expect(isChanged(0.04)).toBe(false);
    expect(isChanged(0.2)).toBe(true);
  });
});
