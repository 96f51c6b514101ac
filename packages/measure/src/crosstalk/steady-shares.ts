import { madScale, median } from '@twolamp/numeric';
import { NEAR_PITCHES } from '../neighbours.js';
import { OUTLIER_SIGMAS } from './tuning.js';

/** Share of one tube's light that comes out of a cell so many pitches away, with its standard uncertainty. */
export interface ShareAway {
  readonly share: number;
  readonly sigma: number;
  readonly pitches: number;
}

/** What is sent to a cell at one distance. */
interface Usual {
  readonly share: number;
  /** Standard uncertainty of that. */
  readonly sigma: number;
  /** Of the cells about it, noise taken out. */
  readonly scatter: number;
}

/**
 * Shares drawn to what is usual at their distance, by the part of their variance that is noise; those that stand out
 * by far are left as they are. (James and Stein's estimator, for each distance by itself.)
 *
 * Beyond the nearest cells the usual is that of all tubes tested: each share there is mostly noise, and dozens of them
 * would drown a tube's total. For the nearest cells it is the tube's own, which leaves their sum as it is, and the
 * worst neighbour isn't merely the noisiest.
 *
 * @param tubes - for each tube tested, the shares of all cells around it
 */
export function steadyShares<S extends ShareAway>(tubes: readonly (readonly S[])[]): S[][] {
  const steady = tubes.map((shares) => [...shares]);
  const distances = new Set(tubes.flat().map(distanceOf));
  for (const distance of distances) {
    const rings = tubes.map((shares) => shares.filter((one) => distanceOf(one) === distance));
    const usual = distance > NEAR_PITCHES ? usualOfAll(rings) : usualOfEach(rings);
    steady.forEach((shares, tube) => {
      for (const [n, one] of shares.entries()) {
        if (distanceOf(one) === distance) shares[n] = drawn(one, usual[tube], distance > NEAR_PITCHES);
      }
    });
  }
  return steady;
}

function drawn<S extends ShareAway>(one: S, usual: Usual, surer: boolean): S {
  if (!isUsual(one, usual)) return one;
  const own = usual.scatter ** 2 / (usual.scatter ** 2 + one.sigma ** 2);
  return {
    ...one,
    share: usual.share + own * (one.share - usual.share),
    sigma: surer ? Math.hypot(Math.sqrt(own) * one.sigma, usual.sigma) : one.sigma,
  };
}

/** Distances that differ by rounding only are one. */
function distanceOf({ pitches }: ShareAway): number {
  return Math.round(10 * pitches) / 10;
}

function isUsual({ share, sigma }: ShareAway, usual: Usual): boolean {
  return Math.abs(share - usual.share) <= OUTLIER_SIGMAS * Math.hypot(usual.scatter, sigma);
}

function usualOfAll(rings: readonly (readonly ShareAway[])[]): Usual[] {
  const shares = rings.flat();
  const usual = usualOf(shares, scatterOf(shares, median(shares.map((one) => one.share))));
  return rings.map(() => usual);
}

function usualOfEach(rings: readonly (readonly ShareAway[])[]): Usual[] {
  const middles = rings.map((shares) => median(shares.map((one) => one.share)));
  const apart = rings.flatMap((shares, tube) =>
    shares.map((one) => ({ ...one, share: one.share - middles[tube] })),
  );
  const scatter = scatterOf(apart, 0);
  return rings.map((shares) => usualOf(shares, scatter));
}

function scatterOf(shares: readonly ShareAway[], middle: number): number {
  const scale = madScale(
    shares.map((one) => one.share),
    middle,
  );
  return Math.sqrt(Math.max(0, scale ** 2 - median(shares.map((one) => one.sigma)) ** 2));
}

/** Mean of the shares that aren't far from their median, each by its certainty. */
function usualOf(shares: readonly ShareAway[], scatter: number): Usual {
  const middle = { share: median(shares.map((one) => one.share)), sigma: 0, scatter };
  let [sum, weights] = [0, 0];
  for (const one of shares) {
    if (!isUsual(one, middle)) continue;
    const weight = 1 / (one.sigma ** 2 + scatter ** 2);
    sum += weight * one.share;
    weights += weight;
  }
  return { share: sum / weights, sigma: 1 / Math.sqrt(weights), scatter };
}
