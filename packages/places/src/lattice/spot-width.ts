import { median, thin } from '@twolamp/numeric';
import type { Plane } from '@twolamp/session';
import type { Spots } from './spots.js';
import { STRONG } from './tuning.js';

/** Most spots looked at, spread evenly. */
const MOST_SPOTS = 200;
/** Share of the pixels around a spot that are darker than its background. */
const BACKGROUND_QUANTILE = 0.2;

/**
 * Full width at half maximum of a typical spot, in pixels: the diameter of a disc as large as the area above half of its
 * height.
 *
 * @param plane - linear light
 * @param spots - found on the plane
 * @param pitchPx - distance of neighbouring cells
 */
export function spotWidthPx(plane: Plane, spots: Spots, pitchPx: number): number {
  const strong = Array.from(spots.x.keys()).filter((k) => spots.strength[k]! >= STRONG);
  const widths = thin(strong, MOST_SPOTS).map((k) => {
    const light = lightAround(plane, spots.x[k]!, spots.y[k]!, pitchPx / 2);
    if (light.length === 0) return Number.NaN;
    const background = light[Math.floor(BACKGROUND_QUANTILE * light.length)]!;
    const half = (background + light.at(-1)!) / 2;
    return 2 * Math.sqrt(light.filter((value) => value > half).length / Math.PI);
  });
  return median(widths);
}

/**
 * Light of the pixels within a radius of a place, in rising order.
 *
 * @param x - pixels, as y and radius
 */
export function lightAround(
  { width, height, data }: Plane,
  x: number,
  y: number,
  radius: number,
): Float32Array {
  const light: number[] = [];
  for (let row = Math.max(0, Math.ceil(y - radius)); row <= Math.min(height - 1, y + radius); row++) {
    for (let at = Math.max(0, Math.ceil(x - radius)); at <= Math.min(width - 1, x + radius); at++) {
      if (Math.hypot(at - x, row - y) <= radius) light.push(data[row * width + at]!);
    }
  }
  return Float32Array.from(light).sort();
}
