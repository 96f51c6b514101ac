import type { ArraySpec } from '@twolamp/session';
import type { CellLight } from '../cell-light.js';
import { median } from '../statistics/robust.js';
import { fitRobustSurface, type RobustSurface, surfaceTerms } from '../statistics/robust-surface.js';

/** Each tube's transmission against what the tubes around it give; N cells, reading order. */
export interface RelativeTransmission {
  /** 1 = typical; NaN where the shot can't tell. */
  readonly relative: Float64Array;
  readonly sigma: Float64Array;
  /** Light that a typical tube would give at each place, in the unit of the flux. */
  readonly typical: Float64Array;
  /** Robust scatter of the healthy tubes about the trend. */
  readonly scatter: number;
}

const MAX_DEGREE = 4;
/** Cells a term of the trend, at least, and the share of light below which a cell doesn't shape it. */
const CELLS_PER_TERM = 12;
const SHAPING_SHARE = 0.3;

/** Trend whose degree pays for its terms: the least Bayesian information criterion (Schwarz, Ann. Statist. 6 (1978) 461). */
function trendOf(
  x: Float64Array,
  y: Float64Array,
  logs: Float64Array,
  known: number,
): RobustSurface & { terms: number } {
  let best: (RobustSurface & { terms: number }) | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let degree = 0; degree <= MAX_DEGREE; degree++) {
    const terms = surfaceTerms(degree);
    if (degree > 0 && known < CELLS_PER_TERM * terms) break;
    const surface = fitRobustSurface(x, y, logs, degree);
    const criterion = 2 * known * Math.log(Math.max(surface.scale, 1e-9)) + terms * Math.log(known);
    if (criterion < least) {
      least = criterion;
      best = { ...surface, terms };
    }
  }
  return best!;
}

/**
 * Relative transmission from the even shot: light over a smooth robust trend, which takes out uneven light and the
 * lens's falling off.
 *
 * @param light - of the even shot
 * @param array - rows and columns
 * @param u - lattice co-ordinate of each cell across, in pitches
 * @param v - down, in rows
 * @throws RangeError where fewer than three cells show light
 */
export function relativeTransmission(
  light: CellLight,
  array: ArraySpec,
  u: Float64Array,
  v: Float64Array,
): RelativeTransmission {
  const count = array.rows * array.columns;
  const middle = median(Array.from(light.flux).filter((flux, k) => flux > 5 * light.sigma[k]!));
  const logs = light.flux.map((flux, k) =>
    flux > SHAPING_SHARE * middle && flux < middle / SHAPING_SHARE && !light.clipped[k]
      ? Math.log(flux)
      : Number.NaN,
  );
  const known = logs.filter(Number.isFinite).length;
  const trend = trendOf(u, v, logs, known);
  const typical = trend.fitted.map(Math.exp);
  // The trend is as uncertain as the scatter about it makes it, shared over its terms.
  const trendSigma = trend.scale * Math.sqrt(trend.terms / Math.max(known, 1));
  const relative = new Float64Array(count);
  const sigma = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    relative[k] = light.flux[k]! / typical[k]!;
    sigma[k] = Math.hypot(light.sigma[k]! / typical[k]!, relative[k]! * trendSigma);
  }
  return { relative, sigma, typical, scatter: trend.scale };
}
