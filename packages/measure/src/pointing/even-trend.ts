import { fitRobustSurface, supportedDegree } from '@twolamp/numeric';
import type { TubeLayout } from '@twolamp/optics';
import type { TubeFit } from './fit-tube.js';
import type { EvenLight } from './tube-data.js';
import { type AcceptanceProfile, HEIGHT, lightOfShape, WIDTH } from './tube-shape.js';
import {
  EVEN_TREND_DEGREE,
  LEAST_OWN_LIGHT,
  LEAST_EVEN_UNCERTAINTY,
  LEAST_LIGHT_SHARE,
  TREND_STEP,
  TUBES_PER_TERM,
} from './tuning.js';

/** Logarithm of the light that a tube passes from all directions, and its variance. */
export interface SweepLight {
  readonly log: number;
  readonly variance: number;
}

/**
 * A tube's light as the sweep's lamps alone tell it: what the fit took over from even light is taken out again, or it would only
 * confirm itself.
 */
export function sweepLight(
  acceptance: AcceptanceProfile,
  { shape, covariance }: TubeFit,
  even: EvenLight | null,
): SweepLight {
  const step = Math.sqrt(covariance.length);
  const height = shape[HEIGHT];
  const variance =
    covariance[HEIGHT * (step + 1)] / height ** 2 +
    (4 * covariance[HEIGHT * step + WIDTH]) / height +
    4 * covariance[WIDTH * (step + 1)];
  const log = Math.log(lightOfShape(acceptance, shape));
  if (!even) return { log, variance };
  const taken = 1 / even.share ** 2;
  const told = 1 / variance - taken;
  return { log: (log / variance - taken * Math.log(even.light)) / told, variance: 1 / Math.max(0, told) };
}

/** Smooth trend over the array of the sweep's light over the transmission in even light. */
export interface EvenTrend {
  /** Logarithm of that ratio at each of the N tubes. */
  readonly logs: Float64Array;
  /** Scatter of well-known tubes about it. */
  readonly scatter: number;
}

/**
 * The trend, a part of the way from the one before: heights, profile and trend follow each other and would oscillate.
 *
 * @param lights - of the reference tubes
 * @param before - of the step before; null = none
 * @returns the one before where the lamps tell the light of too few tubes
 */
export function evenTrendOf(
  layout: TubeLayout,
  references: readonly number[],
  lights: readonly SweepLight[],
  relative: ArrayLike<number>,
  before: EvenTrend | null,
): EvenTrend | null {
  const x = references.map((tube) => layout.across[tube]);
  const y = references.map((tube) => layout.up[tube]);
  const shares = lights.map(
    ({ variance }) => LEAST_EVEN_UNCERTAINTY ** 2 / (variance + LEAST_EVEN_UNCERTAINTY ** 2),
  );
  const logs = references.map((tube, i) =>
    shares[i] > LEAST_LIGHT_SHARE ? lights[i].log - Math.log(relative[tube]) : Number.NaN,
  );
  const known = logs.reduce((sum, log, i) => (Number.isFinite(log) ? sum + shares[i] : sum), 0);
  const degree = supportedDegree(known, TUBES_PER_TERM, EVEN_TREND_DEGREE, 0);
  if (degree === null) return before;
  const { at, scale } = fitRobustSurface(x, y, logs, degree, shares);
  const found = layout.across.map((place, tube) => at(place, layout.up[tube]));
  return {
    logs: before
      ? found.map((log, tube) => before.logs[tube] + TREND_STEP * (log - before.logs[tube]))
      : found,
    scatter: scale,
  };
}

/** Light of each tube as even light shows it, in the unit of the sweep's readings. */
export function evenLightFrom(
  trend: EvenTrend | null,
  relative: ArrayLike<number>,
  relativeSigma: ArrayLike<number> | null,
): (tube: number) => EvenLight | null {
  if (!trend) return () => null;
  const share = Math.max(LEAST_EVEN_UNCERTAINTY, trend.scatter);
  return (tube) => {
    const own = relative[tube];
    if (!(own > LEAST_OWN_LIGHT)) return null;
    const light = own * Math.exp(trend.logs[tube]);
    return { light, share: Math.hypot(share, (relativeSigma?.[tube] ?? 0) / own) };
  };
}
