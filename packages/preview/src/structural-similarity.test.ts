import { describe, expect, test } from 'vitest';
import { referenceTable } from '../../../test/reference-table.js';
import { similarityMap } from './structural-similarity.js';

/** The grids of ssim.csv, by the formulas in its first line. */
function grids(width: number, height: number, range: number): [Float64Array, Float64Array] {
  const a = Float64Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    return range * (0.5 + 0.4 * Math.sin(0.9 * x + 0.3 * y) * Math.cos(0.5 * y));
  });
  const b = a.map((value, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    return i % 37 === 5 ? 0 : 0.8 * value + range * 0.05 * Math.sin(3.1 * x - 1.7 * y);
  });
  return [a, b];
}

describe('similarityMap', () => {
  // datasets/reference/ssim.csv: scikit-image 0.26.0, to 12 digits.
  test.each(
    referenceTable('ssim.csv').map(
      (line) =>
        Object.fromEntries(Object.entries(line).map(([name, cell]) => [name, Number(cell)])) as Record<
          'width' | 'height' | 'sigma' | 'range' | 'mean' | 'least',
          number
        >,
    ),
  )(
    '$height × $width, range $range: as scikit-image has it',
    ({ width, height, sigma, range, mean, least }) => {
      const { values, radius, ...inner } = similarityMap(
        ...grids(width, height, range),
        width,
        height,
        range,
      );
      expect(0.3 * radius).toBeCloseTo(sigma, 12);
      expect(inner).toEqual({ width: width - 2 * radius, height: height - 2 * radius });
      expect(values).toHaveLength(inner.width * inner.height);
      expect(values.reduce((sum, one) => sum + one, 0) / values.length).toBeCloseTo(mean, 10);
      expect(Math.min(...values)).toBeCloseTo(least, 10);
    },
  );

  test('a grid is like itself, and two grids are as like each other either way round', () => {
    const [a, b] = grids(13, 12, 1);
    for (const value of similarityMap(a, a, 13, 12, 1).values) expect(value).toBeCloseTo(1, 12);
    const back = similarityMap(b, a, 13, 12, 1).values;
    similarityMap(a, b, 13, 12, 1).values.forEach((value, i) => {
      expect(value).toBeCloseTo(back[i], 12);
    });
  });

  test('is told place by place: a fault lowers it within a window’s reach only', () => {
    const [a] = grids(30, 20, 1);
    const faulty = a.with(10 * 30 + 8, 0);
    const { values, width, radius } = similarityMap(a, faulty, 30, 20, 1);
    values.forEach((value, i) => {
      const [x, y] = [(i % width) + radius, Math.floor(i / width) + radius];
      const reached = Math.abs(x - 8) <= radius && Math.abs(y - 10) <= radius;
      if (!reached) expect(value).toBeCloseTo(1, 12);
      else expect(value).toBeLessThan(1 - 1e-9);
    });
  });

  test.each([
    ['a and b must have 12 values', new Float64Array(12), new Float64Array(11), 4, 3, 1],
    ['width and height must be 3 or more', new Float64Array(8), new Float64Array(8), 4, 2, 1],
    ['range must be above 0', new Float64Array(12), new Float64Array(12), 4, 3, 0],
  ])('%s', (says, a, b, width, height, range) => {
    expect(() => similarityMap(a, b, width, height, range)).toThrow(says);
  });
});
