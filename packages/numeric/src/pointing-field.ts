import { supportedDegree, surfaceTerms } from './polynomial.js';
import { fitRobustSurface } from './robust-surface.js';
import { thin } from './thin.js';

/** Direction of every tube's smooth neighbourhood: slopes, N values each. */
export interface PointingField {
  readonly across: Float64Array;
  readonly up: Float64Array;
  /** Robust scatter of the tubes about it, slopes along one axis. */
  readonly scatter: number;
  /** Standard uncertainty of the field itself, slopes along one axis, mean over the known tubes. */
  readonly uncertainty: number;
}

/** Bends of the grids that are no fault of single tubes are of this degree at most. */
const DEGREE = 3;
/** Known tubes for each term of the surface, at least. */
const TUBES_PER_TERM = 4;
/** Judgement: the surface is smooth. Most tubes that it is fitted to: it is then certain to a tenth of their scatter. */
const MOST_ASKED = 1000;

/**
 * The smooth field that all tubes' directions follow: a robust polynomial over the tubes' places.
 *
 * @param across - slopes off the axes that the array's dimensions give, N in reading order; NaN = unknown.
 * @param up - likewise
 * @param places - where the tubes stand, any unit
 * @returns null where too few tubes are known for a plane
 */
export function fitPointingField(
  across: Float64Array,
  up: Float64Array,
  places: { readonly across: Float64Array; readonly up: Float64Array },
): PointingField | null {
  const all = Array.from(across.keys()).filter((k) => Number.isFinite(across[k]));
  const degree = supportedDegree(all.length, TUBES_PER_TERM, DEGREE, 1);
  if (degree === null) return null;
  const asked = thin(all, MOST_ASKED);
  const fields = [across, up].map((slopes) => {
    const some = new Float64Array(slopes.length).fill(Number.NaN);
    for (const k of asked) some[k] = slopes[k];
    return fitRobustSurface(places.across, places.up, some, degree);
  });
  const scatter = Math.hypot(fields[0].scale, fields[1].scale) / Math.SQRT2;
  return {
    across: fields[0].fitted,
    up: fields[1].fitted,
    scatter,
    // The mean variance of a least-squares fit at its data is σ² · terms ÷ data.
    uncertainty: scatter * Math.sqrt(surfaceTerms(degree) / asked.length),
  };
}
