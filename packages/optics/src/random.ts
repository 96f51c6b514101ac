import { requireNotNegative, requireWhole } from './check.js';

/** A source of random numbers. Whoever needs chance is handed one; nobody makes their own unseeded. */
export interface Random {
  /** Evenly spread over the open interval (0, 1), 2^32 steps. */
  uniform(): number;
  /** Gaussian, mean 0, standard deviation 1. */
  normal(): number;
  /** Poisson counts of the given mean (0 or more). */
  poisson(mean: number): number;
}

const POISSON_BY_REJECTION_FROM = 10;
const LOG_SQRT_2PI = 0.5 * Math.log(2 * Math.PI);

/**
 * A generator that repeats its numbers for the same seed.
 *
 * @param seed - whole number, 0 or more, below 2^53
 * @param stream - whole number, 0 or more, below 2^32; different streams of one seed are independent for
 *   practical purposes (one for each photo or tube, say, so that the order of work does not matter)
 */
export function seededRandom(seed: number, stream = 0): Random {
  requireWhole('seed', seed, 0);
  requireWhole('stream', stream, 0);
  const mix = mixer((seed >>> 0) ^ Math.imul(stream + 1, 0x9e3779b9));
  const high = Math.floor(seed / 0x100000000);
  const state = Uint32Array.of(mix() ^ high, mix(), mix() ^ stream, mix() | 1);
  return randomFrom(xoshiro128(state));
}

/**
 * xoshiro128++ 1.0 of D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators",
 * ACM Trans. Math. Softw. 47:36 (2021).
 *
 * @param state - four 32-bit words, not all 0; copied
 * @returns a function that gives whole numbers from 0 to 2^32 − 1
 */
export function xoshiro128(state: Uint32Array): () => number {
  let [a, b, c, d] = state as unknown as [number, number, number, number];
  return () => {
    const sum = (a + d) | 0;
    const result = (((sum << 7) | (sum >>> 25)) + a) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result;
  };
}

/** splitmix32: spreads a seed over the state, so that neighbouring seeds start far apart. */
function mixer(seed: number): () => number {
  let word = seed | 0;
  return () => {
    word = (word + 0x9e3779b9) | 0;
    let mixed = Math.imul(word ^ (word >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
}

function randomFrom(bits: () => number): Random {
  const uniform = () => (bits() + 0.5) / 0x100000000;
  let spare = Number.NaN;
  return {
    uniform,
    normal() {
      if (!Number.isNaN(spare)) {
        const kept = spare;
        spare = Number.NaN;
        return kept;
      }
      // Box and Muller, Ann. Math. Statist. 29:610 (1958).
      const radius = Math.sqrt(-2 * Math.log(uniform()));
      const angle = 2 * Math.PI * uniform();
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
    poisson(mean) {
      requireNotNegative('mean', mean);
      return mean < POISSON_BY_REJECTION_FROM
        ? poissonByProduct(mean, uniform)
        : poissonByRejection(mean, uniform);
    },
  };
}

/** Counts the uniform factors it takes to fall below e^−mean (Knuth, The Art of Computer Programming 2, 3.4.1). */
function poissonByProduct(mean: number, uniform: () => number): number {
  const floor = Math.exp(-mean);
  let count = 0;
  for (let product = uniform(); product > floor; product *= uniform()) count++;
  return count;
}

/** Transformed rejection PTRS: W. Hörmann, "The transformed rejection method for generating Poisson random variables", Insurance: Mathematics and Economics 12:39 (1993). */
function poissonByRejection(mean: number, uniform: () => number): number {
  const b = 0.931 + 2.53 * Math.sqrt(mean);
  const a = -0.059 + 0.02483 * b;
  const inverseAlpha = 1.1239 + 1.1328 / (b - 3.4);
  const quick = 0.9277 - 3.6224 / (b - 2);
  for (;;) {
    const u = uniform() - 0.5;
    const v = uniform();
    const us = 0.5 - Math.abs(u);
    const count = Math.floor(((2 * a) / us + b) * u + mean + 0.43);
    if (us >= 0.07 && v <= quick) return count;
    if (count < 0 || (us < 0.013 && v > us)) continue;
    const left = Math.log((v * inverseAlpha) / (a / (us * us) + b));
    if (left <= count * Math.log(mean) - mean - logFactorial(count)) return count;
  }
}

/** ln n!, by the product below 10 and Stirling's series above (error under 1e-9). */
function logFactorial(n: number): number {
  if (n < 10) {
    let product = 1;
    for (let k = 2; k <= n; k++) product *= k;
    return Math.log(product);
  }
  const inverse = 1 / (n + 1);
  const square = inverse * inverse;
  return (
    (n + 0.5) * Math.log(n + 1) -
    (n + 1) +
    LOG_SQRT_2PI +
    inverse * (1 / 12 - square * (1 / 360 - square / 1260))
  );
}
