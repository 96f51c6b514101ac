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
 * Tubes farther off the plane, in the scatter about it, don't shape the surface: one alone in a corner would bend it to itself, since
 * no neighbour there tells otherwise. Bends of the grids lie well within: t² − ⅓ and t³ − ⅗ t over −1 to 1 are at most 2.1 times their robust
 * standard deviation off their plane.
 */
const MOST_OFF_PLANE = 6;
/** Blocks that the array is divided into each way, to see how much of it the known tubes cover. */
const BLOCKS = 8;

interface Places {
  readonly across: Float64Array;
  readonly up: Float64Array;
}

/** Number of the block of each place, N values. */
function blocksOf({ across, up }: Places): Int32Array {
  const [right, high] = [across, up].map((values) => {
    const least = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
    const most = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
    const step = (most - least) / BLOCKS || 1;
    return values.map((value) => Math.min(BLOCKS - 1, Math.floor((value - least) / step)));
  });
  return Int32Array.from(right, (column, k) => high[k] * BLOCKS + column);
}

/**
 * How many tubes the known ones count as, spread as they are: in a few patches, a bend between these or beyond them is anybody's
 * guess, and a misaimed tube at a patch's border would make one.
 */
function spreadOf(known: readonly number[], places: Places): number {
  const blocks = blocksOf(places);
  const covered = new Set(known.map((k) => blocks[k])).size / new Set(blocks).size;
  return Math.min(known.length, Math.round(covered * BLOCKS ** 2));
}

/**
 * The smooth field that all tubes' directions follow: a robust polynomial over the tubes' places, of a degree that the known tubes
 * support by their number and by how much of the array they cover; a plane by their number alone.
 *
 * @param across - slopes off the axes that the array's dimensions give, N in reading order; NaN = unknown.
 * @param up - likewise
 * @param places - where the tubes stand, any unit
 * @returns null where too few tubes are known for a plane
 */
export function fitPointingField(
  across: Float64Array,
  up: Float64Array,
  places: Places,
): PointingField | null {
  const all = Array.from(across.keys()).filter((k) => Number.isFinite(across[k]));
  if (supportedDegree(all.length, TUBES_PER_TERM, 1, 1) === null) return null;
  const fit = (tubes: readonly number[], degree: number): PointingField => {
    const [fitAcross, fitUp] = [across, up].map((slopes) => {
      const some = new Float64Array(slopes.length).fill(Number.NaN);
      for (const k of tubes) some[k] = slopes[k];
      return fitRobustSurface(places.across, places.up, some, degree);
    });
    const scatter = Math.hypot(fitAcross.scale, fitUp.scale) / Math.SQRT2;
    return {
      across: fitAcross.fitted,
      up: fitUp.fitted,
      scatter,
      // The mean variance of a least-squares fit at its data is σ² · terms ÷ data.
      uncertainty: scatter * Math.sqrt(surfaceTerms(degree) / tubes.length),
    };
  };
  const asked = thin(all, MOST_ASKED);
  const plane = fit(asked, 1);
  const near = asked.filter(
    (k) => Math.hypot(across[k] - plane.across[k], up[k] - plane.up[k]) <= MOST_OFF_PLANE * plane.scatter,
  );
  const degree = supportedDegree(spreadOf(near, places), TUBES_PER_TERM, DEGREE, 2);
  return degree === null ? plane : fit(near, degree);
}
