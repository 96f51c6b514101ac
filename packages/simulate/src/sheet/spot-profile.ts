import { errorFunction } from 'simple-statistics';

/** Brightness of one spot against the distance from its middle, as a table over the distance squared. */
export interface SpotProfile {
  /** Where it ends; nothing worth a count lies beyond. */
  readonly reachMm: number;
  /**
   * Share of the spot's light per mm² at distance √(i / perMm2); adds up to 1 over the plane. The last two entries
   * are 0.
   */
  readonly table: Float64Array;
  readonly perMm2: number;
}

const REACH_SIGMAS = 5;
/** At the disc's rim the nodes lie this many to one standard deviation of the blur. */
const NODES_PER_SIGMA = 40;
const LEAST_NODES = 1000;
const LEAST_STRIPS = 60;
/** Strips as wide as a third of a standard deviation sum up a Gaussian to the last digit. */
const STRIPS_PER_SIGMA = 3;

/**
 * An evenly lit disc seen through a Gaussian blur.
 *
 * @param radiusMm - of the disc
 * @param sigmaMm - standard deviation of the blur, above 0
 */
export function spotProfile(radiusMm: number, sigmaMm: number): SpotProfile {
  const reachMm = radiusMm + REACH_SIGMAS * sigmaMm;
  const rimMm = Math.max(radiusMm, sigmaMm);
  const nodes = Math.ceil(LEAST_NODES + (NODES_PER_SIGMA * reachMm ** 2) / (2 * rimMm * sigmaMm));
  const perMm2 = nodes / reachMm ** 2;
  const table = new Float64Array(nodes + 2);
  for (let i = 0; i < nodes; i++) table[i] = blurredDisc(Math.sqrt(i / perMm2), radiusMm, sigmaMm);
  return { reachMm, table, perMm2 };
}

/** Share of the spot's light per mm², by the square of the distance from its middle, mm². */
export function brightnessAt({ table, perMm2 }: SpotProfile, distance2: number): number {
  const place = perMm2 * distance2;
  if (place >= table.length - 2) return 0;
  const node = Math.floor(place);
  return table[node] + (place - node) * (table[node + 1] - table[node]);
}

/** Disc ⊗ Gaussian: strips across the disc, each an error function along and a Gaussian across. */
function blurredDisc(distanceMm: number, radiusMm: number, sigmaMm: number): number {
  const strips = Math.ceil(LEAST_STRIPS + (STRIPS_PER_SIGMA * Math.PI * radiusMm) / sigmaMm);
  let sum = 0;
  for (let i = 0; i < strips; i++) {
    // Strips by equal steps of the angle, so that the strips' length vanishes smoothly at the rim.
    const angle = (Math.PI * (i + 0.5)) / strips;
    const x = radiusMm * Math.cos(angle);
    const half = radiusMm * Math.sin(angle);
    const across = Math.exp(-0.5 * ((distanceMm - x) / sigmaMm) ** 2) / (sigmaMm * Math.sqrt(2 * Math.PI));
    sum += across * errorFunction(half / (sigmaMm * Math.SQRT2)) * half * (Math.PI / strips);
  }
  return sum / (Math.PI * radiusMm * radiusMm);
}
