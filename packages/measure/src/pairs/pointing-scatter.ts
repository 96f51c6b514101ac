import { median } from '../statistics/robust.js';
import type { ShotView } from './shot-view.js';
import { lightGradient, lightOf, type Optics, type SourceModel } from './source-fit.js';

/** A shot with the parameters found for it. */
export interface FittedShot {
  readonly view: ShotView;
  readonly optics: Optics;
  readonly model: SourceModel;
  readonly parameters: Float64Array;
}

/** Median of |z| of a standard normal value: Φ⁻¹(3/4). */
const NORMAL_MEDIAN = 0.6744897501960817;
/** Cells at least this steep, against the steepest of the shot, show pointing errors. */
const STEEP_SHARE = 0.3;
/** No array is so badly aimed, against the half width of its response, that it shows a lamp and exceeds this. */
const MOST_SCATTER = 0.4;
/** A lamp's place and brightness. */
const PLACE_PARAMETERS = 3;
/** Share of the deviations that is left at least. */
const LEAST_LEFT = 0.3;
const BISECTIONS = 30;

/**
 * Standard deviation of the tubes' pointing errors in each direction, as a slope: that at which cells on the
 * responses' flanks deviate from the fit as much as their uncertainties say.
 */
export function scatterOf(shots: readonly FittedShot[]): number {
  let places = 0;
  const cells = shots.flatMap(({ view, optics, model, parameters }) => {
    const light = lightOf(view, optics, model, parameters);
    const floor = model.floor(parameters);
    const sources = model.sources(parameters);
    places += PLACE_PARAMETERS * sources.length;
    const gradient = lightGradient(view, optics, sources);
    // Only the part of a pointing error along the gradient changes the light.
    const steepness = gradient.across.map((value, i) => Math.hypot(value, gradient.up[i]!));
    const steepest = steepness.reduce((most, value) => Math.max(most, value), 0);
    return Array.from(steepness, (steep, i) => ({
      deviation: Math.abs(light[i]! - view.light[i]!),
      variance: view.noise[i]! ** 2 + (view.transmissionError[i]! * (light[i]! - floor)) ** 2,
      steep,
    })).filter(({ steep }) => steep > STEEP_SHARE * steepest);
  });
  // The lamps' own parameters follow the cells' errors and take their share out of the deviations.
  const left = Math.sqrt(Math.max(LEAST_LEFT, 1 - places / cells.length));
  const expected = NORMAL_MEDIAN * left;
  const middleDeviation = (scatter: number) =>
    median(
      cells.map(({ deviation, variance, steep }) => deviation / Math.sqrt(variance + (scatter * steep) ** 2)),
    );
  if (cells.length === 0 || middleDeviation(0) < expected) return 0;
  let low = 0;
  let high = MOST_SCATTER * shots[0]!.optics.response.halfWidthSlope;
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (low + high) / 2;
    if (middleDeviation(middle) > expected) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
