import { type Place, tubeBack, tubeLayout } from '@twolamp/optics';
import type { ArraySpec } from '@twolamp/session';
import { homography } from '../light/filters.js';
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
  const stated = Array.from({ length: tubeLayout(array).count }, (_, k) => tubeBack(array, k));
  const h = homography(
    stated.flatMap((_, k) => [cells.x[k]!, cells.y[k]!]),
    stated.flatMap(({ acrossMm, upMm }) => [acrossMm, upMm]),
  );
  if (!h) return null;
  const departures = stated.map(({ acrossMm, upMm }, k) => {
    const [x, y] = [cells.x[k]!, cells.y[k]!];
    const w = h[6]! * x + h[7]! * y + h[8]!;
    return {
      across: (h[0]! * x + h[1]! * y + h[2]!) / w - acrossMm,
      up: (h[3]! * x + h[4]! * y + h[5]!) / w - upMm,
    };
  });
  const acrossMm = Float64Array.from(departures, ({ across }) => across);
  const upMm = Float64Array.from(departures, ({ up }) => up);
  const [smoothAcross, smoothUp] = [acrossMm, upMm].map((all) => smoothPart(stated, all));
  const seenMm = Math.hypot(rms(smoothAcross!), rms(smoothUp!)) / Math.SQRT2;
  const fromMiddle = stated.map(({ acrossMm, upMm }) => Math.hypot(acrossMm, upMm));
  const growth = (UNSEEN_GROWTH * seenMm) / Math.max(...fromMiddle);
  return {
    acrossMm: acrossMm.map((own, k) => own + growth * stated[k]!.acrossMm),
    upMm: upMm.map((own, k) => own + growth * stated[k]!.upMm),
    sigmaMm: acrossMm.map(
      (_, k) =>
        Math.hypot(
          DOUBTFUL_SHARE * smoothAcross![k]!,
          DOUBTFUL_SHARE * smoothUp![k]!,
          growth * fromMiddle[k]!,
        ) / Math.SQRT2,
    ),
  };
}

function rms(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

function smoothPart(stated: readonly Place[], departures: Float64Array): Float64Array {
  let degree = SMOOTH_DEGREE;
  while (degree > 0 && departures.length < CELLS_PER_TERM * surfaceTerms(degree)) degree--;
  const [x, y] = [stated.map(({ acrossMm }) => acrossMm), stated.map(({ upMm }) => upMm)];
  const asked = new Set(thin([...departures.keys()], MOST_SMOOTHED));
  const some = departures.map((departure, k) => (asked.has(k) ? departure : Number.NaN));
  return fitRobustSurface(x, y, some, degree).fitted;
}
