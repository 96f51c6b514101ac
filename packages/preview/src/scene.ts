import { requirePositive } from '@twolamp/optics';
import type { LinearPhoto, Plane } from '@twolamp/session';

/** A flat picture parallel to the front face, centred on the array's normal; everything around it is dark. */
export interface Scene {
  /** What the builder calls it. */
  readonly name: string;
  /** Its linear light, 1 = white; height follows from width. */
  readonly photo: LinearPhoto;
  readonly widthMm: number;
  /** From the front face. */
  readonly distanceMm: number;
}

/** How far from the array's normal tubes see a scene. */
export interface Reach {
  readonly acrossMm: number;
  readonly upMm: number;
}

/** A scene in square pixels of a chosen size; pixel (0, 0) is the top left one. */
export interface SceneGrid extends Plane {
  readonly stepMm: number;
  /** Middle of the top left pixel, from the array's normal. */
  readonly leftMm: number;
  readonly topMm: number;
}

/**
 * A scene as means over square pixels. The outermost ones may hang over the picture's edges, where it is dark: light is
 * neither lost nor made.
 *
 * @param stepMm - side of a pixel in the scene's plane, above 0; may be finer than the photo's
 * @param reach - what lies beyond it is left out
 */
export function sceneGrid({ photo, widthMm }: Scene, stepMm: number, reach: Reach): SceneGrid {
  const perPixel = requirePositive('stepMm', stepMm) / (requirePositive('widthMm', widthMm) / photo.width);
  const columns = meansAlongRows(photo.light, photo.width, photo.height, perPixel, reach.acrossMm / stepMm);
  const { data, width: height } = meansAlongRows(
    columns.data,
    photo.height,
    columns.width,
    perPixel,
    reach.upMm / stepMm,
  );
  const { width } = columns;
  return {
    width,
    height,
    data,
    stepMm,
    leftMm: (-(width - 1) / 2) * stepMm,
    topMm: ((height - 1) / 2) * stepMm,
  };
}

/**
 * Means over stretches of `perPixel` pixels along each row, the stretches centred on the row.
 *
 * @param reach - in stretches: those whose middle is farther from the row's are left out, but for one
 * @returns the rows as columns: value i of row y at data[i * height + y]; width = stretches a row
 */
function meansAlongRows(
  values: Float32Array,
  width: number,
  height: number,
  perPixel: number,
  reach: number,
): { readonly width: number; readonly data: Float32Array } {
  // Slightly less than the quotient, so that rounding adds no empty stretch.
  const all = Math.max(1, Math.ceil(width / perPixel - 1e-9));
  const count = all - 2 * Math.max(0, Math.floor((all - 1) / 2 - reach));
  const start = (width - count * perPixel) / 2;
  const data = new Float32Array(count * height);
  const sums = new Float64Array(width + 1);
  const sumUpTo = (place: number): number => {
    const inside = Math.min(Math.max(place, 0), width);
    const whole = Math.min(Math.floor(inside), width - 1);
    return sums[whole] + (inside - whole) * (sums[whole + 1] - sums[whole]);
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) sums[x + 1] = sums[x] + values[y * width + x];
    let before = sumUpTo(start);
    for (let i = 0; i < count; i++) {
      const here = sumUpTo(start + (i + 1) * perPixel);
      data[i * height + y] = (here - before) / perPixel;
      before = here;
    }
  }
  return { width: count, data };
}
