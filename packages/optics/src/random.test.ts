import { describe, expect, test } from 'vitest';
import { seededRandom, Xoshiro128 } from './random.js';

const DRAWS = 200_000;

test('Xoshiro128 repeats the numbers of its authors', () => {
  // First outputs of the reference program xoshiro128plusplus.c for the state 1, 2, 3, 4, as the rand_xoshiro
  // library's tests have them; uniform() puts them in the middle of steps of 2^−32.
  const random = new Xoshiro128(1, 2, 3, 4);
  expect(Array.from({ length: 10 }, () => random.uniform() * 2 ** 32 - 0.5)).toEqual([
    641, 1573767, 3222811527, 3517856514, 836907274, 4247214768, 3867114732, 1355841295, 495546011, 621204420,
  ]);
});

describe('seededRandom', () => {
  test('same seed, same numbers; another seed or stream, others', () => {
    const draw = (seed: number, stream?: number) => {
      const random = seededRandom(seed, stream);
      return [random.uniform(), random.normal(), random.normal(), random.poisson(3), random.poisson(300)];
    };
    expect(draw(5)).toEqual(draw(5));
    expect(draw(5)).toEqual(draw(5, 0));
    const firsts = [draw(5), draw(6), draw(5, 1), draw(5 + 2 ** 32), draw(0)].map(([first]) => first);
    expect(new Set(firsts).size).toBe(firsts.length);
  });

  test('streams are not correlated', () => {
    const a = seededRandom(1, 0);
    const b = seededRandom(1, 1);
    let sum = 0;
    for (let i = 0; i < DRAWS; i++) sum += (a.uniform() - 0.5) * (b.uniform() - 0.5);
    // The product of two independent centred uniforms has standard deviation 1/12.
    expect(Math.abs(sum * 12) / Math.sqrt(DRAWS)).toBeLessThan(4);
  });

  test('uniform fills ten equal bins evenly and stays inside (0, 1)', () => {
    const random = seededRandom(2);
    const bins = new Float64Array(10);
    let inside = 0;
    for (let i = 0; i < DRAWS; i++) {
      const u = random.uniform();
      if (u > 0 && u < 1) inside++;
      bins[Math.floor(u * 10)]++;
    }
    expect(inside).toBe(DRAWS);
    const expected = DRAWS / 10;
    const chi2 = bins.reduce((sum, n) => sum + (n - expected) ** 2 / expected, 0);
    expect(chi2).toBeLessThan(27.88); // 99.9 % point of chi-square, 9 degrees of freedom: standard tables
  });

  test('normal has the moments 0, 1, 0, 3', () => {
    const random = seededRandom(3);
    const sums = [0, 0, 0, 0];
    for (let i = 0; i < DRAWS; i++) {
      const x = random.normal();
      for (let power = 1; power <= 4; power++) sums[power - 1] += x ** power;
    }
    // Variances of x, x², x³ and x⁴ of a normal variable: 1, 2, 15, 96.
    const exact = [0, 1, 0, 3];
    const variances = [1, 2, 15, 96];
    sums.forEach((sum, i) => {
      expect(Math.abs(sum / DRAWS - exact[i]) / Math.sqrt(variances[i] / DRAWS)).toBeLessThan(4);
    });
  });

  test.each([0.03, 0.7, 4, 9.99, 10, 37.3, 400, 20000])('poisson of mean %d: mean and variance', (mean) => {
    const random = seededRandom(4);
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < DRAWS; i++) {
      const deviation = random.poisson(mean) - mean;
      sum += deviation;
      squares += deviation * deviation;
    }
    // Var of (k − λ)² is λ + 2λ² for a Poisson variable.
    expect(Math.abs(sum / DRAWS) / Math.sqrt(mean / DRAWS)).toBeLessThan(4);
    expect(Math.abs(squares / DRAWS - mean) / Math.sqrt((mean + 2 * mean * mean) / DRAWS)).toBeLessThan(4);
  });

  test.each([3, 12])('poisson of mean %d follows e^−λ λ^k/k!', (mean) => {
    const random = seededRandom(5);
    const most = 2 * mean;
    const counts = new Float64Array(most + 1);
    for (let i = 0; i < DRAWS; i++) {
      const k = random.poisson(mean);
      if (k <= most) counts[k]++;
    }
    let probability = Math.exp(-mean);
    for (let k = 0; k <= most; k++) {
      const expected = DRAWS * probability;
      expect(Math.abs(counts[k] - expected) / Math.sqrt(expected * (1 - probability))).toBeLessThan(4.5);
      probability *= mean / (k + 1);
    }
  });

  test('poisson of mean 0 is 0', () => {
    expect(seededRandom(6).poisson(0)).toBe(0);
  });

  test.each([
    ['seed', () => seededRandom(-1)],
    ['seed', () => seededRandom(1.5)],
    ['stream', () => seededRandom(1, -1)],
    ['mean', () => seededRandom(1).poisson(-2)],
    ['mean', () => seededRandom(1).poisson(Number.NaN)],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });
});
