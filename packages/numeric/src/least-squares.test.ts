import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { leastSquares } from './least-squares.js';

// Certified values of two overlapping Gaussians on a decaying floor: NIST StRD, Rust 1996, datasets/reference.
const REFERENCE = new URL('../../../datasets/reference/', import.meta.url);

interface Certified {
  readonly start1: number[];
  readonly start2: number[];
  readonly certified: number[];
  readonly certified_sd: number[];
  readonly residual_sum_of_squares: number;
  readonly residual_standard_deviation: number;
}

function readPoints(name: string): { x: number; y: number }[] {
  return readFileSync(new URL(`${name}.csv`, REFERENCE), 'utf8')
    .split('\n')
    .filter((line) => /^\d/.test(line))
    .map((line) => line.split(',').map(Number))
    .map(([x, y]) => ({ x: x, y: y }));
}

/** b1 exp(−b2 x) + b3 exp(−((x − b4)/b5)²) + b6 exp(−((x − b7)/b8)²): NIST's model of the three sets. */
function twoSources(b: Float64Array, x: number): number {
  const source = (first: number) => b[first] * Math.exp(-(((x - b[first + 1]) / b[first + 2]) ** 2));
  return b[0] * Math.exp(-b[1] * x) + source(2) + source(5);
}

describe.each(['nist-strd-gauss1', 'nist-strd-gauss2', 'nist-strd-gauss3'])('two sources on %s', (name) => {
  const points = readPoints(name);
  const certified = JSON.parse(readFileSync(new URL(`${name}.json`, REFERENCE), 'utf8')) as Certified;

  test.each(['start1', 'start2'] as const)('from %s', (start) => {
    const fit = leastSquares({
      start: certified[start],
      scale: certified[start],
      residuals: (b) => Float64Array.from(points, ({ x, y }) => twoSources(b, x) - y),
    });
    expect(points.length).toBe(250);
    expect(fit.stopped).toBe('converged');
    certified.certified.forEach((value, index) => {
      expect(Math.abs(fit.parameters[index] / value - 1)).toBeLessThan(1e-6);
      const deviation = Math.sqrt(fit.covariance.get(index, index)) * certified.residual_standard_deviation;
      expect(Math.abs(deviation / certified.certified_sd[index] - 1)).toBeLessThan(1e-5);
    });
    expect(Math.abs(fit.chiSquare / certified.residual_sum_of_squares - 1)).toBeLessThan(1e-9);
  });
});

describe('leastSquares', () => {
  test('names a scale of the wrong length', () => {
    const residuals = () => new Float64Array(3);
    expect(() => leastSquares({ residuals, start: [1, 2], scale: [1] })).toThrow(/^scale must/);
  });

  test('names a start without finite residuals', () => {
    const residuals = () => Float64Array.of(Number.NaN);
    expect(() => leastSquares({ residuals, start: [1], scale: [1] })).toThrow(/^start must/);
  });

  test('says when residuals turn to no number on the way', () => {
    const residuals = (p: Float64Array) => Float64Array.of(p[0] > 0.9 ? p[0] : Number.NaN);
    expect(leastSquares({ residuals, start: [1], scale: [1] }).stopped).toBe('not-finite');
  });

  test('a perfect fit ends, with a sum of squares of 0', () => {
    const residuals = (p: Float64Array) => Float64Array.of(p[0] - 3, 2 * (p[0] - 3));
    const fit = leastSquares({ residuals, start: [1], scale: [1] });
    expect(fit.stopped).toBe('converged');
    expect(fit.parameters[0]).toBeCloseTo(3, 9);
    expect(fit.chiSquare).toBeLessThan(1e-18);
  });
});
