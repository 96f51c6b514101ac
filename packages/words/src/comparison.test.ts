import { finding, type Comparison, type Result, type TubeVerdict } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleComparison } from './example/example-comparison.js';
import { overallAnswer, resolvingChangeAnswer, scaleAnswer, tubesChangeAnswer } from './comparison.js';

const { comparison, earlier, later } = exampleComparison();

function tubes(...verdicts: TubeVerdict[]): Comparison['tubes'] {
  return verdicts.map((verdict, i) => ({ ...comparison.tubes[i]!, verdict }));
}

function resolvingOf(verdict: NonNullable<Comparison['resolving']>['verdict']): Comparison['resolving'] {
  return { earlierM: 2.9, laterM: 3.1, differenceM: 0.2, lowM: 0.05, highM: 0.34, verdict };
}

describe('overallAnswer', () => {
  test.each([
    ['farther', ['mended', 'unchanged'], 'Better: it sees finer and 1 tube is mended.'],
    ['no difference shown', ['mended', 'mended'], 'Better: 2 tubes are mended.'],
    ['nearer', ['unchanged'], 'Worse: it sees less fine.'],
    [
      'farther',
      ['new fault', 'worse'],
      'Better in part: it sees finer, but 2 tubes are worse or newly faulty.',
    ],
    [
      'no difference shown',
      ['unchanged', 'still faulty'],
      'No difference is shown: neither in how fine it sees nor in its faults.',
    ],
  ] as const)('%s, %j: %s', (verdict, verdicts, headline) => {
    const answer = overallAnswer({
      ...comparison,
      resolving: resolvingOf(verdict),
      tubes: tubes(...verdicts),
    });
    expect(answer.headline).toBe(headline);
  });
});

test.each([
  [null, [], 'Whether it is better can’t be said'],
  [null, ['unchanged'], 'how fine it sees couldn’t be compared'],
  ['no difference shown', [], 'its tubes couldn’t be compared one by one'],
] as const)('what wasn’t compared shows no sameness: %s, %j', (verdict, verdicts, words) => {
  const resolving = verdict === null ? null : resolvingOf(verdict);
  expect(overallAnswer({ ...comparison, resolving, tubes: tubes(...verdicts) }).headline).toContain(words);
});

describe('resolvingChangeAnswer', () => {
  const say = (change: Partial<Comparison>, before: Result = earlier, after: Result = later) => {
    const { headline, details } = resolvingChangeAnswer({ ...comparison, ...change }, before, after);
    return [headline, ...details].join(' ').replaceAll('\u00a0', ' ');
  };

  test('farther, with the difference and its interval', () => {
    expect(say({ resolving: resolvingOf('farther') })).toContain(
      'Two lamps 60 mm apart now stay separate farther away: 3.10 m, earlier 2.90 m. Difference 0.20 m (95 % interval 0.05 to 0.34 m). That is more than its uncertainty.',
    );
  });

  test('nearer', () => {
    expect(say({ resolving: resolvingOf('nearer') })).toContain('less far away');
  });

  test('no difference shown is no claim of sameness', () => {
    expect(say({ resolving: resolvingOf('no difference shown') })).toContain(
      'It may be no difference at all.',
    );
  });

  test('a bound is said as a bound', () => {
    const beyond = { ...later, resolving: { ...later.resolving!, bound: 'beyond' as const } };
    expect(say({ resolving: resolvingOf('farther') }, earlier, beyond)).toContain(
      'beyond 3.10 m, earlier 2.90 m',
    );
  });

  test('not compared: says why', () => {
    const findings = [finding('resolving-not-measured', 'resolving', { lacking: 'both' })];
    expect(say({ resolving: null, findings })).toBe(
      'How far two lamps stay separate can’t be compared. Neither session has a resolving distance.',
    );
  });
});

describe('tubesChangeAnswer', () => {
  test('counts what changed', () => {
    const answer = tubesChangeAnswer({
      ...comparison,
      tubes: tubes('mended', 'mended', 'new fault', 'unchanged'),
    });
    expect(answer.headline).toBe('Of 4 tubes, 1 has a new fault and 2 are mended.');
    expect(answer.details[0]!.replaceAll('\u00a0', ' ')).toContain('1 % at most');
  });

  test('nothing changed', () => {
    expect(tubesChangeAnswer({ ...comparison, tubes: tubes('unchanged', 'unchanged') }).headline).toBe(
      'None of the 2 tubes has changed.',
    );
  });

  test('arrays of different size: says why there is no list', () => {
    const layout = { earlierRows: 24, earlierColumns: 30, laterRows: 25, laterColumns: 30 };
    const differ = finding('layouts-differ', 'tubes', {
      ...layout,
      earlierArrangement: 'square',
      earlierShiftedRows: null,
      laterArrangement: 'hexagonal',
      laterShiftedRows: 'odd',
    });
    expect(tubesChangeAnswer({ ...comparison, tubes: [], findings: [differ] })).toEqual({
      headline: 'The arrays can’t be compared tube by tube.',
      details: [
        'The arrays are laid out differently (earlier 24 × 30 tubes, square; later 25 × 30 tubes, hexagonal, odd rows ' +
          'shifted), so a row and column do not name the same tube in both. They are compared as wholes.',
      ],
    });
  });
});

test('only a comparison of absolute transmission tells whether the array passes more light', () => {
  expect(scaleAnswer(comparison).headline).toContain('not with the light as a whole');
  const absolute = scaleAnswer({
    ...comparison,
    scale: { later: 1.02, uncertainty: 0.003, basis: 'absolute' },
  });
  expect(absolute.headline.replaceAll('\u00a0', ' ')).toContain('1.020 ± 0.003 times');
});
