import { madScale } from '../statistics/robust.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { Patches } from './patches.js';

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
  const t = cells.toPitch;
  for (let k = 0; k < cells.x.length; k++) {
    let [cosine, cosineSquare, sine, sineSquare] = [0, 0, 0, 0];
    const [a, b, c, d] = [t[4 * k]!, t[4 * k + 1]!, t[4 * k + 2]!, t[4 * k + 3]!];
    let at = patches.start[k]!;
    for (let row = 0; row < patches.height[k]!; row++) {
      let pixel = (patches.top[k]! + row) * width + patches.left[k]!;
      const dy = patches.top[k]! + row - cells.y[k]!;
      let dx = patches.left[k]! - cells.x[k]!;
      for (const end = at + patches.width[k]!; at < end; at++, pixel++, dx++) {
        const [p, q] = [a * dx + b * dy, c * dx + d * dy];
        const square = p * p + q * q;
        if (patches.values[at] === 0 || square === 0) continue;
        // cos 3θ = (p³ − 3pq²)/r³, sin 3θ = (3p²q − q³)/r³.
        const turned = patches.values[at]! / (square * Math.sqrt(square));
        const along = turned * p * (p * p - 3 * q * q);
        const across = turned * q * (3 * p * p - q * q);
        const weight = weights[pixel]!;
        cosine += weight * residual[pixel]! * along;
        cosineSquare += weight * along * along;
        sine += weight * residual[pixel]! * across;
        sineSquare += weight * across * across;
      }
    }
    if (cosineSquare > 0) probes.push(cosine / Math.sqrt(cosineSquare));
    if (sineSquare > 0) probes.push(sine / Math.sqrt(sineSquare));
  }
  return probes.length < LEAST_PROBES ? 1 : madScale(probes, 0);
}
