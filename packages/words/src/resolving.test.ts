import { finding, type Result, type Resolving } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { limitSentence, predictionSentence, resolvingAnswer } from './resolving.js';

const example = exampleResult();
const WITHIN: Resolving = {
  criterion: 'rayleigh',
  requiredDip: 0.265,
  spacingM: 0.06,
  distanceM: 3.12,
  lowM: 3.01,
  highM: 3.24,
  confidence: 0.95,
  angleDeg: (Math.atan(0.06 / 3.12) * 180) / Math.PI,
  angleLowDeg: null,
  angleHighDeg: null,
  predictedDistanceM: 3.3,
  predictedDistanceUncertaintyM: 0.05,
  bound: 'within',
};

function answerTo(change: Partial<Resolving>) {
  const { headline, details } = resolvingAnswer({ ...example, resolving: { ...WITHIN, ...change } });
  return {
    headline: headline.replaceAll('\u00a0', ' '),
    details: details.join(' ').replaceAll('\u00a0', ' '),
  };
}

describe('resolvingAnswer', () => {
  test('within: the distance with its interval, and the angle with its own', () => {
    const { headline, details } = answerTo({});
    expect(headline).toBe(
      'Two lamps 60 mm apart stay separate up to 3.12 m away (95 % interval 3.01 to 3.24 m).',
    );
    // atan(0.06/3.24) = 1.061°, atan(0.06/3.12) = 1.102°, atan(0.06/3.01) = 1.142°
    expect(details).toContain('As an angle: 1.10° (1.06 to 1.14°), for lamps of any spacing.');
    expect(details).toContain('Rayleigh’s criterion, a dip of at least 0.265');
  });

  test('beyond: a lower bound, said as such, with the shot that would help', () => {
    const { headline, details } = answerTo({ bound: 'beyond', distanceM: 4, lowM: 4, highM: null });
    expect(headline).toBe(
      'Two lamps 60 mm apart are still separate 4.00 m away, the farthest distance shot.',
    );
    expect(details).toMatch(/lies beyond it: shots from farther away/);
    expect(details).toContain('finer than');
  });

  test('nearer: an upper bound, said as such, with the shot that would help', () => {
    const { headline, details } = answerTo({ bound: 'nearer', distanceM: 1.2, lowM: null, highM: 1.2 });
    expect(headline).toBe(
      'Two lamps 60 mm apart are not separate even 1.20 m away, the nearest distance shot.',
    );
    expect(details).toMatch(/nearer than that: shots from closer by/);
    expect(details).toContain('coarser than');
  });

  test('not measured: says so, with the reason from the findings', () => {
    const findings = [finding('no-pairs', 'resolving', { distancesWanted: 4 })];
    const { headline, details } = resolvingAnswer({ ...example, resolving: null, findings });
    expect(headline).toBe('How far two lamps stay separate takes pair shots; there are none.');
    expect(details).toEqual([
      'There are no pair shots. The resolving distance needs them from at least 4 distances.',
    ]);
  });

  test.each([true, false])('distances that may be from the sheet are told: %s', (fromSheet) => {
    const values = { shorterShare: 0.1, longerShare: 0.12, fromSheet, tubeLengthMm: 150 };
    const findings = [finding('distances-rest-on-tape', 'resolving', values)];
    const details = resolvingAnswer({ ...example, resolving: WITHIN, findings }).details.join(' ');
    const words = 'would not show it if they were measured from the sheet, 150 mm too long';
    expect(details.replaceAll('\u00a0', ' ').includes(words)).toBe(fromSheet);
  });

  test('an interval that is not known is said not to be', () => {
    expect(answerTo({ lowM: null, highM: null }).headline).toContain('the shots don’t give an interval');
  });
});

describe('predictionSentence', () => {
  test.each([
    [{}, 'predicts 3.30 ± 0.05 m for faultless tubes; the measured distance is shorter, by more'],
    [{ predictedDistanceM: 3.1 }, 'in agreement'],
    // 0.15 m above 3.12 m; the interval's half and 1.96 · 0.05 m add to √(0.12² + 0.098²) = 0.155 m.
    [{ predictedDistanceM: 3.27 }, 'in agreement'],
    [{ predictedDistanceM: 2.9 }, 'longer, by more than the uncertainty'],
    [{ bound: 'beyond', distanceM: 4, predictedDistanceM: 3.3 }, 'does better'],
    [{ bound: 'beyond', distanceM: 3, predictedDistanceM: 3.3 }, 'don’t reach far enough'],
    [{ bound: 'nearer', distanceM: 1, predictedDistanceM: 3.3 }, 'falls short'],
    [{ bound: 'nearer', distanceM: 4, predictedDistanceM: 3.3 }, 'don’t come near enough'],
  ] as [Partial<Resolving>, string][])('%j: %s', (change, words) => {
    expect(predictionSentence({ ...WITHIN, ...change })?.replaceAll('\u00a0', ' ')).toContain(words);
  });

  test('no prediction, no sentence', () => {
    expect(predictionSentence({ ...WITHIN, predictedDistanceM: null })).toBeNull();
  });
});

describe('limitSentence', () => {
  // Angular pitch at 3.12 m: 1.2/150 + 4.2/3120 = 0.00935 rad = 0.535° from tube to tube.
  test.each([
    [0.3, 'the gaps between tubes'],
    [0.8, 'about alike'],
    [1.6, 'the width of a tube’s view'],
  ])('tubes that see %d° wide: %s', (acceptanceWidthDeg, words) => {
    const cells = example.cells.map((cell) => ({
      ...cell,
      pointing: cell.pointing && { ...cell.pointing, acceptanceWidthDeg },
    }));
    expect(limitSentence({ ...example, cells, resolving: WITHIN } satisfies Result)).toContain(words);
  });

  test('without a sweep it says where its width comes from', () => {
    const cells = example.cells.map((cell) => ({ ...cell, pointing: null }));
    expect(limitSentence({ ...example, cells, resolving: WITHIN })).toMatch(/by the stated dimensions/i);
  });
});
