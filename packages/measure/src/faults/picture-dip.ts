import { interpolateEven } from '@twolamp/numeric';
import { KERNEL_HALF_WIDTHS } from '../pairs/tuning.js';
import { dipOfProfile } from '../pairs/profile-dip.js';

/** One cell beside the line of two lamps' images; slopes. */
export interface PictureCell {
  /** Along the line, 0 = middle between the images. */
  readonly along: number;
  readonly aside: number;
  /** Light that a typical tube in its place would give. */
  readonly typical: number;
}

/** How a picture of two lamps is read. */
export interface PictureReading {
  /** Light of two lamps along the line in an array of typical tubes. */
  readonly due: (along: number) => number;
  /** From the middle to each image. */
  readonly half: number;
  /** Half width at half maximum of one lamp's image. */
  readonly halfWidth: number;
}

const STEPS_PER_KERNEL = 4;
/** Cells so many kernels aside don't count. */
const ASIDE_KERNELS = 3;

/**
 * The dip of two lamps from the cells' light: the light of typical tubes along the line, times the ratio of the cells'
 * light to that of typical tubes, smoothed by the same Gaussian as for pair shots. So weak, blocked and bent tubes near the
 * line change the dip.
 *
 * @param cells - all within reach of the lamps
 * @param light - of the cells, in the same order
 */
export function pictureDip(
  { due, half, halfWidth }: PictureReading,
  cells: readonly PictureCell[],
  light: ArrayLike<number>,
): number {
  const kernel = KERNEL_HALF_WIDTHS * halfWidth;
  const step = kernel / STEPS_PER_KERNEL;
  const side = Math.ceil((half + halfWidth) / step) + 1;
  const pull = new Float64Array(2 * side + 1);
  const weight = new Float64Array(2 * side + 1);
  cells.forEach(({ along, aside, typical }, n) => {
    if (Math.abs(aside) > ASIDE_KERNELS * kernel) return;
    const near = typical * Math.exp(-0.5 * (aside / kernel) ** 2);
    for (let at = 0; at < pull.length; at++) {
      const share = near * Math.exp(-0.5 * (((at - side) * step - along) / kernel) ** 2);
      pull[at] += share * light[n];
      weight[at] += share * typical;
    }
  });
  const ratio = pull.map((sum, n) => (weight[n] > 0 ? sum / weight[n] : 1));
  const profile = (along: number) => due(along) * interpolateEven(ratio, along / step + side);
  return dipOfProfile(profile, half, halfWidth).dip;
}
