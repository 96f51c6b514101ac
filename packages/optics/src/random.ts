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
  return new Xoshiro128(mix() ^ high, mix(), mix() ^ stream, mix() | 1);
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

/**
 * xoshiro128++ 1.0 of D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators",
 * ACM Trans. Math. Softw. 47:36 (2021). The state is four 32-bit words, not all 0.
 */
export class Xoshiro128 implements Random {
  private spare = Number.NaN;

  constructor(
    private a: number,
    private b: number,
    private c: number,
    private d: number,
  ) {
    this.a |= 0;
    this.b |= 0;
    this.c |= 0;
    this.d |= 0;
  }

  uniform(): number {
    const { a, b } = this;
    const sum = (a + this.d) | 0;
    const bits = (((sum << 7) | (sum >>> 25)) + a) >>> 0;
    const c = this.c ^ a;
    const d = this.d ^ b;
    this.b = b ^ c;
    this.a = a ^ d;
    this.c = c ^ (b << 9);
    this.d = (d << 11) | (d >>> 21);
    return (bits + 0.5) / 0x100000000;
  }

  normal(): number {
    if (!Number.isNaN(this.spare)) {
      const kept = this.spare;
      this.spare = Number.NaN;
      return kept;
    }
    // Box and Muller, Ann. Math. Statist. 29:610 (1958).
    const radius = Math.sqrt(-2 * Math.log(this.uniform()));
    const angle = 2 * Math.PI * this.uniform();
    this.spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }

  poisson(mean: number): number {
    requireNotNegative('mean', mean);
    return mean < POISSON_BY_REJECTION_FROM ? poissonByProduct(mean, this) : poissonByRejection(mean, this);
  }
}

/** Counts the uniform factors it takes to fall below e^−mean (Knuth, The Art of Computer Programming 2, 3.4.1). */
function poissonByProduct(mean: number, random: Random): number {
  const floor = Math.exp(-mean);
  let count = 0;
  for (let product = random.uniform(); product > floor; product *= random.uniform()) count++;
  return count;
}

/** Transformed rejection PTRS: W. Hörmann, "The transformed rejection method for generating Poisson random variables", Insurance: Mathematics and Economics 12:39 (1993). */
function poissonByRejection(mean: number, random: Random): number {
  const b = 0.931 + 2.53 * Math.sqrt(mean);
  const a = -0.059 + 0.02483 * b;
  const inverseAlpha = 1.1239 + 1.1328 / (b - 3.4);
  const quick = 0.9277 - 3.6224 / (b - 2);
  for (;;) {
    const u = random.uniform() - 0.5;
    const v = random.uniform();
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
