import { madScale } from '../statistics/robust.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import { forPixelsOf, type Patches } from './patches.js';

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
  const probes: number[] = [];
  for (let k = 0; k < cells.x.length; k++) {
    let [cosine, cosineSquare, sine, sineSquare] = [0, 0, 0, 0];
    const wide = patches.width[k]!;
    let [pixel, column] = [patches.top[k]! * width + patches.left[k]!, 0];
    forPixelsOf(k, cells, patches, (at, p, q) => {
      const footprint = patches.values[at]!;
      const radius = Math.hypot(p, q);
      if (footprint !== 0 && radius > 0) {
        const [c, s] = [p / radius, q / radius];
        const along = footprint * c * (4 * c * c - 3);
        const across = footprint * s * (3 - 4 * s * s);
        cosine += weights[pixel]! * residual[pixel]! * along;
        cosineSquare += weights[pixel]! * along * along;
        sine += weights[pixel]! * residual[pixel]! * across;
        sineSquare += weights[pixel]! * across * across;
      }
      pixel++;
      column++;
      if (column === wide) {
        column = 0;
        pixel += width - wide;
      }
    });
    if (cosineSquare > 0) probes.push(cosine / Math.sqrt(cosineSquare));
    if (sineSquare > 0) probes.push(sine / Math.sqrt(sineSquare));
  }
  return probes.length < LEAST_PROBES ? 1 : madScale(probes, 0);
}
