import type { ArraySpec } from '@twolamp/session';
import { neighboursOf } from '../neighbours.js';
import type { SweepLeak } from '../pointing/sweep-leaks.js';
import { benjaminiHochberg, median, normalTail } from '@twolamp/numeric';
import { FALSE_DISCOVERY_RATE } from '../tuning.js';
import type { LightScores } from './light-scores.js';
import { AGREES_SIGMAS, LACKS_SIGMAS, LEAST_SUSPECTED_LEAK, SHOWS_SIGMAS } from './tuning.js';

/** A leak that even light and the sweep make likely; a single shot of the tube would prove it. */
export interface LeakSuspect {
  /** The neighbour that gets the light, in reading order. */
  readonly to: number;
  readonly share: number;
}

export interface LeakSuspects {
  /** By the leaking cell, in reading order. */
  readonly suspects: ReadonlyMap<number, LeakSuspect>;
  /** Least share of a tube's light that a suspected leak can have; null where the light is not known. */
  readonly leastShare: number | null;
}

/**
 * Leaks without single shots. A leaky tube gives less light than others, and one neighbour gives more by the same amount.
 * In a sweep the neighbour also lights up in the direction of the leaky tube.
 *
 * Only neighbours of tubes that lack light are tested, by the neighbour's surplus and the sweep. Both are independent of
 * what the tube lacks, so a dirty tube beside a typical one is no suspect. The false-discovery rate over all pairs is that
 * of the other tests.
 *
 * @param relative - N relative transmissions, NaN = unknown, and their standard uncertainty
 * @param leaks - from the sweep; none without one
 */
export function suspectLeaks(
  array: ArraySpec,
  relative: Float64Array,
  relativeSigma: Float64Array,
  light: LightScores,
  leaks: readonly SweepLeak[],
): LeakSuspects {
  const swept = new Map(leaks.map((leak) => [`${leak.from} ${leak.to}`, leak]));
  const over = (n: number): Estimate => ({
    value: relative[n] / light.typical - 1,
    sigma: Math.hypot(light.scatter, relativeSigma[n]) / light.typical,
  });
  const pairs = pairsLacking(array, light).flatMap(({ from, to }) => {
    const surplus = over(to);
    const lack = over(from);
    if (Number.isNaN(surplus.value)) return [];
    const sweep = swept.get(`${from} ${to}`);
    const both = sweep ? [surplus, { value: sweep.share, sigma: sweep.sigma }] : [surplus];
    const share = meanOf(both);
    const agrees =
      both.every((one) => Math.abs(one.value - share.value) < AGREES_SIGMAS * one.sigma) &&
      Math.abs(share.value + lack.value) < AGREES_SIGMAS * Math.hypot(share.sigma, lack.sigma);
    return [{ from, to, share: share.value, agrees, p: normalTail(share.value / share.sigma) }];
  });
  const { found } = benjaminiHochberg(
    pairs.map((pair) => pair.p),
    FALSE_DISCOVERY_RATE,
  );
  const suspects = new Map<number, LeakSuspect>();
  pairs
    .filter((pair, n) => found[n] === 1 && pair.agrees && pair.share > LEAST_SUSPECTED_LEAK)
    .sort((a, b) => b.p - a.p)
    .forEach(({ from, to, share }) => {
      suspects.set(from, { to, share });
    });
  return { suspects, leastShare: leastShareOf(light, leaks) };
}

interface Estimate {
  readonly value: number;
  readonly sigma: number;
}

function meanOf(estimates: readonly Estimate[]): Estimate {
  const weight = estimates.reduce((sum, one) => sum + 1 / one.sigma ** 2, 0);
  return {
    value: estimates.reduce((sum, one) => sum + one.value / one.sigma ** 2, 0) / weight,
    sigma: 1 / Math.sqrt(weight),
  };
}

function leastShareOf(light: LightScores, leaks: readonly SweepLeak[]): number | null {
  const own = { value: 0, sigma: light.scatter / light.typical };
  if (!(own.sigma > 0)) return null;
  const swept = leaks.length > 0 ? [{ value: 0, sigma: median(leaks.map((leak) => leak.sigma)) }] : [];
  return Math.max(
    LEAST_SUSPECTED_LEAK,
    (LACKS_SIGMAS + 1) * own.sigma,
    SHOWS_SIGMAS * meanOf([own, ...swept]).sigma,
  );
}

function pairsLacking(array: ArraySpec, light: LightScores): { from: number; to: number }[] {
  return Array.from(light.deviation.keys())
    .filter((n) => light.deviation[n] < -LACKS_SIGMAS)
    .flatMap((from) => neighboursOf(array, from).map(({ cell }) => ({ from, to: cell })));
}
