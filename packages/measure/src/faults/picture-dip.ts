import { interpolateEven } from '@twolamp/numeric';
import { dipOfProfile, KERNEL_HALF_WIDTHS } from '@twolamp/resolving';

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

/** The dip of two lamps, and what it would be with other light of single cells. */
export interface PictureDip {
  readonly dip: number;
  /** @param changes - cells by number, each once, and their light */
  readonly dipWith: (changes: readonly (readonly [cell: number, light: number])[]) => number;
}

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
): PictureDip {
  const kernel = KERNEL_HALF_WIDTHS * halfWidth;
  const step = kernel / STEPS_PER_KERNEL;
  const side = Math.ceil((half + halfWidth) / step) + 1;
  /** Adds a cell's amounts to sums along the line, by its weight there. */
  const spread = (
    { along, aside, typical }: PictureCell,
    amounts: readonly (readonly [Float64Array, number])[],
  ) => {
    if (Math.abs(aside) > ASIDE_KERNELS * kernel) return;
    const near = typical * Math.exp(-0.5 * (aside / kernel) ** 2);
    for (let at = 0; at <= 2 * side; at++) {
      const share = near * Math.exp(-0.5 * (((at - side) * step - along) / kernel) ** 2);
      for (const [sums, amount] of amounts) sums[at] += share * amount;
    }
  };
  const pull = new Float64Array(2 * side + 1);
  const weight = new Float64Array(2 * side + 1);
  for (const [n, cell] of cells.entries()) {
    spread(cell, [
      [pull, light[n]],
      [weight, cell.typical],
    ]);
  }
  const dipOf = (pulls: Float64Array): number => {
    const ratio = pulls.map((sum, n) => (weight[n] > 0 ? sum / weight[n] : 1));
    const profile = (along: number) => due(along) * interpolateEven(ratio, along / step + side);
    return dipOfProfile(profile, half, halfWidth).dip;
  };
  return {
    dip: dipOf(pull),
    dipWith: (changes) => {
      const changed = pull.slice();
      for (const [n, now] of changes) spread(cells[n], [[changed, now - light[n]]]);
      return dipOf(changed);
    },
  };
}
