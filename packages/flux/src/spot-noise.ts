import { madScale, thin } from '@twolamp/numeric';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { Stamps } from './stamps.js';
import { MOST_PROBED } from './tuning.js';

/** Tolerance. Fewer cells would leave a tenth of the noise uncertain. */
const LEAST_PROBES = 60;

/**
 * By how much the noise at the size of a spot departs from what the pixels' noise, taken as white, gives. A compressed
 * photo loses its finest noise and keeps the coarse; the pixel scatter alone would then flatter.
 *
 * Each cell's residual is projected on its profile times cos 3θ and sin 3θ: a three-fold pattern no round spot, lens
 * or pixel grid makes, so that what is found there is noise. (Our own method.)
 *
 * @param most - cells probed at most
 * @returns factor on the standard deviation of any cell's light; 1 where there are too few cells
 */
export function spotNoiseFactor(
  cells: CellsOnPicture,
  stamps: Stamps,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
  most: number = MOST_PROBED.even,
): number {
  const probes: number[] = [];
  for (const k of thin([...cells.x.keys()], most))
    probeCell(cells, stamps, k, residual, weights, width, probes);
  return probes.length < LEAST_PROBES ? 1 : madScale(probes, 0);
}

function probeCell(
  cells: CellsOnPicture,
  stamps: Stamps,
  k: number,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
  probes: number[],
): void {
  const t = cells.toPitch;
  const a = t[4 * k];
  const b = t[4 * k + 1];
  const c = t[4 * k + 2];
  const d = t[4 * k + 3];
  const { values } = stamps;
  const across = stamps.width[k];
  const [left, top] = [stamps.left[k] - cells.x[k], stamps.top[k] - cells.y[k]];
  let cosine = 0;
  let cosineSquare = 0;
  let sine = 0;
  let sineSquare = 0;
  for (let row = 0; row < stamps.height[k]; row++) {
    const at = stamps.start[k] + row * across;
    const pixel = (stamps.top[k] + row) * width + stamps.left[k];
    const dy = top + row;
    for (let n = 0; n < across; n++) {
      const value = values[at + n];
      if (value === 0) continue;
      const dx = left + n;
      const p = a * dx + b * dy;
      const q = c * dx + d * dy;
      const pp = p * p;
      const qq = q * q;
      const square = pp + qq;
      if (square === 0) continue;
      // cos 3θ = (p³ − 3pq²)/r³, sin 3θ = (3p²q − q³)/r³.
      const turned = value / (square * Math.sqrt(square));
      const along = turned * p * (pp - 3 * qq);
      const aslant = turned * q * (3 * pp - qq);
      const weight = weights[pixel + n];
      const miss = weight * residual[pixel + n];
      cosine += miss * along;
      cosineSquare += weight * along * along;
      sine += miss * aslant;
      sineSquare += weight * aslant * aslant;
    }
  }
  if (cosineSquare > 0) probes.push(cosine / Math.sqrt(cosineSquare));
  if (sineSquare > 0) probes.push(sine / Math.sqrt(sineSquare));
}
