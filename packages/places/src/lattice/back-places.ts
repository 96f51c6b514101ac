import { tubeBack, tubeLayout } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { homography } from '../light/homography.js';
import { fitRobustSurface, surfaceTerms, thin } from '@twolamp/numeric';

/** How far each tube's end at the sheet sits from its stated place; N values, mm. */
export interface BackDepartures {
  readonly acrossMm: Float64Array;
  readonly upMm: Float64Array;
  /** Standard uncertainty along one axis. */
  readonly sigmaMm: Float64Array;
}

/**
 * A photo can't tell a bulged array from a lens's distortion: of what departs smoothly over the array, so much is in
 * doubt. A judgement, no source.
 */
const DOUBTFUL_SHARE = 0.5;
/**
 * A bulge that grows evenly from the middle outwards can't be told from a larger scale. Where the corners stayed in place
 * and the sides' middles stand out, it is 5.5 times as large at the corners as what is seen to depart smoothly (RMS);
 * where the pitch was measured across the bulged array, it is none. Half of that is taken, give or take as much.
 */
const UNSEEN_GROWTH = 5.5 / 2;
const SMOOTH_DEGREE = 3;
const CELLS_PER_TERM = 4;
/** Judgement: the surface is smooth. Most cells that it is fitted to. */
const MOST_SMOOTHED = 800;

/**
 * Where the tubes end at the sheet against where the stated array has them: places in the photo, seen straight on by
 * the homography that fits them best. Position and turn of the whole array stay as stated, and its scale but for what may
 * have grown unseen.
 *
 * @param cells - places of the N cells in the photo, px
 * @returns null where the places determine no homography
 */
export function backDepartures(
  array: ArraySpec,
  cells: { readonly x: ArrayLike<number>; readonly y: ArrayLike<number> },
): BackDepartures | null {
  const count = tubeLayout(array).count;
  const stated = { acrossMm: new Float64Array(count), upMm: new Float64Array(count) };
  const [from, to] = [new Float64Array(2 * count), new Float64Array(2 * count)];
  for (let k = 0; k < count; k++) {
    const { acrossMm, upMm } = tubeBack(array, k);
    stated.acrossMm[k] = to[2 * k] = acrossMm;
    stated.upMm[k] = to[2 * k + 1] = upMm;
    from[2 * k] = cells.x[k];
    from[2 * k + 1] = cells.y[k];
  }
  const h = homography(from, to);
  if (!h) return null;
  const [across, up] = [new Float64Array(count), new Float64Array(count)];
  for (let k = 0; k < count; k++) {
    const [x, y] = [cells.x[k], cells.y[k]];
    const w = h[6] * x + h[7] * y + h[8];
    across[k] = (h[0] * x + h[1] * y + h[2]) / w - stated.acrossMm[k];
    up[k] = (h[3] * x + h[4] * y + h[5]) / w - stated.upMm[k];
  }
  const [smoothAcross, smoothUp] = [smoothPart(stated, across), smoothPart(stated, up)];
  const seenMm = Math.hypot(rms(smoothAcross), rms(smoothUp)) / Math.SQRT2;
  const fromMiddle = stated.acrossMm.map((acrossMm, k) => Math.hypot(acrossMm, stated.upMm[k]));
  const growth = (UNSEEN_GROWTH * seenMm) / fromMiddle.reduce((most, value) => Math.max(most, value), 0);
  return {
    acrossMm: across.map((own, k) => own + growth * stated.acrossMm[k]),
    upMm: up.map((own, k) => own + growth * stated.upMm[k]),
    sigmaMm: fromMiddle.map(
      (radius, k) =>
        Math.hypot(DOUBTFUL_SHARE * smoothAcross[k], DOUBTFUL_SHARE * smoothUp[k], growth * radius) /
        Math.SQRT2,
    ),
  };
}

/** Where the ends of the tubes are stated. */
interface StatedPlaces {
  readonly acrossMm: Float64Array;
  readonly upMm: Float64Array;
}

function rms(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

function smoothPart({ acrossMm, upMm }: StatedPlaces, departures: Float64Array): Float64Array {
  let degree = SMOOTH_DEGREE;
  while (degree > 0 && departures.length < CELLS_PER_TERM * surfaceTerms(degree)) degree--;
  const some = new Float64Array(departures.length).fill(Number.NaN);
  for (const k of thin([...departures.keys()], MOST_SMOOTHED)) some[k] = departures[k];
  return fitRobustSurface(acrossMm, upMm, some, degree).fitted;
}
