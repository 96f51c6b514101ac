import { bisect } from './bisect.js';
import { madScale } from './robust.js';

/** Down to 1e-9 of the scatter. */
const HALVINGS = 30;

/**
 * Scatter that has to be added to the stated uncertainties for most deviations to agree with them.
 *
 * The deviations in units of their total uncertainty √(stated² + (extra · size)²) get a robust standard deviation of 1.
 * The idea of Paule & Mandel, J. Res. Natl. Bur. Stand. 87 (1982) 377–385, with the median absolute deviation in place of
 * the sum of squares, so that a minority of outliers has no say.
 *
 * @param deviations - from what they are expected to be, any unit
 * @param stated - standard uncertainty of each, above 0, same unit and length
 * @param sizes - by what each one's share in the extra scatter is multiplied, above 0, same length
 * @returns the extra standard deviation for a size of 1; 0 where the stated uncertainties suffice or nothing is given
 * @throws RangeError if the lengths differ or a stated uncertainty isn't above 0
 */
export function extraScatter(
  deviations: ArrayLike<number>,
  stated: ArrayLike<number>,
  sizes: ArrayLike<number>,
): number {
  const count = deviations.length;
  if (stated.length !== count || sizes.length !== count) {
    throw new RangeError(
      `deviations, stated and sizes must be equally long, got ${count}, ${stated.length}, ${sizes.length}`,
    );
  }
  for (let i = 0; i < count; i++) {
    if (!(stated[i] > 0)) throw new RangeError(`stated[${i}] must be above 0, got ${stated[i]}`);
  }
  const scaleWith = (extra: number) =>
    madScale(
      Float64Array.from(deviations, (value, i) => value / Math.hypot(stated[i], extra * sizes[i])),
      0,
    );
  if (!(scaleWith(0) > 1)) return 0;
  const most = madScale(
    Float64Array.from(deviations, (value, i) => value / sizes[i]),
    0,
  );
  return bisect((extra) => scaleWith(extra) > 1, 0, most, HALVINGS).high;
}
