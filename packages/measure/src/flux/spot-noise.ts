import { madScale } from '../statistics/robust.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { forEachPixel, type Patches } from './patches.js';

/** Least number of probes for an honest factor. */
const LEAST_PROBES = 60;

/**
 * By how much the noise at the size of a spot departs from what the pixels' noise, taken as white, gives. A compressed
 * photo loses its finest noise and keeps the coarse; the pixel scatter alone would then flatter.
 *
 * Each cell's residual is projected on its footprint times cos 3θ and sin 3θ: a three-fold pattern no round spot, lens
 * or pixel grid makes, so that what is found there is noise. (Our own method.)
 *
 * @returns factor on the standard deviation of any cell's light; 1 where there are too few cells to tell
 */
export function spotNoiseFactor(
  cells: CellsOnPicture,
  patches: Patches,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
): number {
  const count = cells.x.length;
  const sums = Array.from({ length: 4 }, () => new Float64Array(count));
  const [cosine, cosineSquare, sine, sineSquare] = sums as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  forEachPixel(cells, patches, (k, at, p, q) => {
    const footprint = patches.values[at]!;
    const radius = Math.hypot(p, q);
    if (footprint === 0 || radius === 0) return;
    const within = at - patches.start[k]!;
    const wide = patches.width[k]!;
    const pixel = (patches.top[k]! + Math.floor(within / wide)) * width + patches.left[k]! + (within % wide);
    const weight = weights[pixel]!;
    const [c, s] = [p / radius, q / radius];
    const along = footprint * c * (4 * c * c - 3);
    const across = footprint * s * (3 - 4 * s * s);
    cosine[k]! += weight * residual[pixel]! * along;
    cosineSquare[k]! += weight * along * along;
    sine[k]! += weight * residual[pixel]! * across;
    sineSquare[k]! += weight * across * across;
  });
  const probes: number[] = [];
  for (let k = 0; k < count; k++) {
    if (cosineSquare[k]! > 0) probes.push(cosine[k]! / Math.sqrt(cosineSquare[k]!));
    if (sineSquare[k]! > 0) probes.push(sine[k]! / Math.sqrt(sineSquare[k]!));
  }
  return probes.length < LEAST_PROBES ? 1 : madScale(probes, 0);
}
