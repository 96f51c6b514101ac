import type { CellResult, Result } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { lightAnswer, relativeSpread } from './light.js';

const example = exampleResult();

function withAbsolute(absolute: number | null, uncertainty = (absolute ?? 0) / 50): Result {
  const cells = example.cells.map(
    (cell): CellResult => ({
      ...cell,
      transmission: {
        ...cell.transmission,
        // Of a typical tube, so that its spot passes just that.
        relative: 1,
        absolute,
        absoluteUncertainty: absolute === null ? null : uncertainty,
      },
    }),
  );
  return { ...example, cells };
}

function words(result: Result): string {
  const { headline, details } = lightAnswer(result);
  return [headline, ...details].join(' ').replaceAll('\u00a0', ' ');
}

describe('lightAnswer', () => {
  test('T = 1/64 is f/4 by N = 1/(2√T), with half the relative uncertainty', () => {
    const text = words(withAbsolute(1 / 64));
    expect(text).toContain('a tube passes 1.56 ± 0.03 % of the even light');
    expect(text).toContain('f/4.00 ± 0.04: it takes 1.0 times the exposure of f/4');
  });

  test('T = 1/14400 is f/60, 225 times the exposure of f/4', () => {
    expect(words(withAbsolute(1 / 14_400))).toContain('f/60.0 ± 0.6: it takes 225 times');
  });

  test('without a bare shot: the spread, and which shot would give the rest', () => {
    const text = words(withAbsolute(null));
    expect(text).toMatch(/^Healthy tubes pass the same light to within/);
    expect(text).toContain('can’t be said without a bare shot');
  });

  test.each<[string, Result]>([
    ['more light than there is', withAbsolute(1.4)],
    ['less than none', withAbsolute(-0.1)],
    ['an uncertainty of half and more', withAbsolute(0.3, 0.2)],
  ])('%s: no headline and no f-number, but the reason', (_, result) => {
    const text = words(result);
    expect(text).toMatch(/^How much light the array passes could not be measured/);
    expect(text).toContain('the exposures of the bare and the even shot don’t fit each other');
    expect(text).not.toContain('f/');
  });

  test('healthy tubes that differ by more than half: no headline', () => {
    const cells = example.cells.map(
      (cell, i): CellResult => ({
        ...cell,
        fault: 'none',
        transmission: {
          ...cell.transmission,
          relative: i % 2 === 0 ? 0.2 : 1.8,
          absolute: null,
          absoluteUncertainty: null,
        },
      }),
    );
    expect(words({ ...example, cells })).toMatch(
      /^How much .* could not be measured\. Healthy tubes differ by 119/,
    );
  });
});

// MAD of the uniform distribution on 1 ± a is a/2, whatever the tails; × 1.4826.
test('relativeSpread is the scaled median absolute deviation of healthy tubes', () => {
  const cells = example.cells.slice(0, 101).map(
    (cell, i): CellResult => ({
      ...cell,
      fault: 'none',
      transmission: { ...cell.transmission, relative: 0.95 + i * 0.001 },
    }),
  );
  const outlier: CellResult = {
    ...cells[0]!,
    fault: 'open',
    transmission: { ...cells[0]!.transmission, relative: 5 },
  };
  expect(relativeSpread([...cells, outlier])!.spread).toBeCloseTo(1.4826 * 0.025, 10);
});
