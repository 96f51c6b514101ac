import { errorFunction } from 'simple-statistics';

/** Brightness of one spot against the distance from its middle. */
export interface SpotProfile {
  /** Where it ends; nothing worth a count lies beyond. */
  readonly reachMm: number;
  /** Share of the spot's light per mm² at this distance; adds up to 1 over the plane. */
  at(distanceMm: number): number;
}

const REACH_SIGMAS = 5;
const STEPS_PER_SIGMA = 40;
const STRIPS = 200;

/**
 * An evenly lit disc seen through a Gaussian blur, tabulated.
 *
 * @param radiusMm - of the disc
 * @param sigmaMm - standard deviation of the blur, above 0
 */
export function spotProfile(radiusMm: number, sigmaMm: number): SpotProfile {
  const reachMm = radiusMm + REACH_SIGMAS * sigmaMm;
  const step = sigmaMm / STEPS_PER_SIGMA;
  const table = Float64Array.from({ length: Math.ceil(reachMm / step) + 2 }, (_, i) =>
    blurredDisc(i * step, radiusMm, sigmaMm),
  );
  return {
    reachMm,
    at(distanceMm) {
      const place = distanceMm / step;
      const i = Math.floor(place);
      if (i + 1 >= table.length) return 0;
      return table[i] + (place - i) * (table[i + 1] - table[i]);
    },
  };
}

/** Disc ⊗ Gaussian: strips across the disc, each an error function along and a Gaussian across. */
function blurredDisc(distanceMm: number, radiusMm: number, sigmaMm: number): number {
  let sum = 0;
  for (let i = 0; i < STRIPS; i++) {
    // Strips by equal steps of the angle, so that the strips' length vanishes smoothly at the rim.
    const angle = (Math.PI * (i + 0.5)) / STRIPS;
    const x = radiusMm * Math.cos(angle);
    const half = radiusMm * Math.sin(angle);
    const across = Math.exp(-0.5 * ((distanceMm - x) / sigmaMm) ** 2) / (sigmaMm * Math.sqrt(2 * Math.PI));
    sum += across * errorFunction(half / (sigmaMm * Math.SQRT2)) * half * (Math.PI / STRIPS);
  }
  return sum / (Math.PI * radiusMm * radiusMm);
}
