import { madScale, median } from '@twolamp/numeric';
import { NEAR_PITCHES } from '../neighbours.js';
import { OUTLIER_SIGMAS } from './tuning.js';

/** Share of one tube's light that comes out of another cell, with its standard uncertainty and distance. */
export interface ShareAt {
  readonly share: number;
  readonly sigma: number;
  readonly pitches: number;
}

/** Typical share of a cell at one distance. */
interface Typical {
  readonly share: number;
  /** Standard uncertainty of `share`. */
  readonly sigma: number;
  /** Intrinsic scatter of the cells about it, without noise. */
  readonly scatter: number;
}

/**
 * Shrinks shares towards the typical one at their distance, by the part of their variance that is noise; outliers stay
 * as they are. (James and Stein's estimator, separately for each distance.)
 *
 * Beyond the nearest cells the typical share is that of all tubes tested: each share is mostly noise there, and the sum
 * of dozens would dominate a tube's total. Among the nearest cells it is the tube's own mean, which leaves their sum as
 * it is; shrinking keeps the noisiest neighbour from being taken for the worst.
 *
 * @param tubes - for each tube tested, the shares of all cells around it
 */
export function shrinkShares<S extends ShareAt>(tubes: readonly (readonly S[])[]): S[][] {
  const shrunken = tubes.map((shares) => [...shares]);
  const distances = new Set(tubes.flat().map(distanceOf));
  for (const distance of distances) {
    const rings = tubes.map((shares) => shares.filter((one) => distanceOf(one) === distance));
    const typical = distance > NEAR_PITCHES ? typicalOfAll(rings) : typicalOfEach(rings);
    shrunken.forEach((shares, tube) => {
      for (const [n, one] of shares.entries()) {
        if (distanceOf(one) === distance) shares[n] = shrunk(one, typical[tube], distance > NEAR_PITCHES);
      }
    });
  }
  return shrunken;
}

function shrunk<S extends ShareAt>(one: S, typical: Typical, isKnown: boolean): S {
  if (!isTypical(one, typical)) return one;
  const own = typical.scatter ** 2 / (typical.scatter ** 2 + one.sigma ** 2);
  return {
    ...one,
    share: typical.share + own * (one.share - typical.share),
    sigma: isKnown ? Math.hypot(Math.sqrt(own) * one.sigma, typical.sigma) : one.sigma,
  };
}

/** Distances that differ by rounding only are one. */
function distanceOf({ pitches }: ShareAt): number {
  return Math.round(10 * pitches) / 10;
}

function isTypical({ share, sigma }: ShareAt, typical: Typical): boolean {
  return Math.abs(share - typical.share) <= OUTLIER_SIGMAS * Math.hypot(typical.scatter, sigma);
}

function typicalOfAll(rings: readonly (readonly ShareAt[])[]): Typical[] {
  const shares = rings.flat();
  const typical = typicalOf(shares, scatterOf(shares, median(shares.map((one) => one.share))));
  return rings.map(() => typical);
}

function typicalOfEach(rings: readonly (readonly ShareAt[])[]): Typical[] {
  const middles = rings.map((shares) => median(shares.map((one) => one.share)));
  const apart = rings.flatMap((shares, tube) =>
    shares.map((one) => ({ ...one, share: one.share - middles[tube] })),
  );
  const scatter = scatterOf(apart, 0);
  return rings.map((shares) => typicalOf(shares, scatter));
}

function scatterOf(shares: readonly ShareAt[], middle: number): number {
  const scale = madScale(
    shares.map((one) => one.share),
    middle,
  );
  return Math.sqrt(Math.max(0, scale ** 2 - median(shares.map((one) => one.sigma)) ** 2));
}

/** Mean of the shares that aren't far from their median, each by its certainty. */
function typicalOf(shares: readonly ShareAt[], scatter: number): Typical {
  const middle = { share: median(shares.map((one) => one.share)), sigma: 0, scatter };
  let sum = 0;
  let weights = 0;
  for (const one of shares) {
    if (!isTypical(one, middle)) continue;
    const weight = 1 / (one.sigma ** 2 + scatter ** 2);
    sum += weight * one.share;
    weights += weight;
  }
  return { share: sum / weights, sigma: 1 / Math.sqrt(weights), scatter };
}
