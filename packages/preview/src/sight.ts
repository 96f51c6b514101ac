import type { Acceptance } from '@twolamp/optics';
import type { SceneGrid } from './scene.js';
import { LEFT_OUT } from './tuning.js';

/** How a straight tube weighs the directions around its axis, by their distance from it in half widths. */
export interface SightProfile {
  /** Even steps of 1 / {@link STEPS_PER_HALF} half widths, the first one on the axis, the last one 0. */
  readonly weights: Float64Array;
  /** Where the table ends, in half widths. */
  readonly reach: number;
}

/** Where one tube looks, and how wide. */
export interface Sight {
  readonly frontAcrossMm: number;
  readonly frontUpMm: number;
  readonly slopeAcross: number;
  readonly slopeUp: number;
  /** Half of the full width at half maximum, as a slope. */
  readonly halfWidth: number;
}

/** What a tube sees of a scene. */
export interface Glimpse {
  /** Mean light over all directions it sees, dark ones beyond the scene included; 1 = white. */
  readonly light: number;
  /** Share of what it sees that lies inside the scene. */
  readonly inside: number;
}

const STEPS_PER_HALF = 64;
/** Slopes beyond this, 84° off the axis, pass nothing that counts. */
const STEEPEST = 10;

/** Table of an acceptance's radial course, cut off where what is left out no longer counts. */
export function sightProfile(acceptance: Acceptance): SightProfile {
  const half = Math.tan(acceptance.widthRad / 2);
  const step = half / STEPS_PER_HALF;
  const all = Math.ceil(STEEPEST / step);
  const values = Float64Array.from({ length: all }, (_, i) => acceptance.at(i * step, 0));
  const light = values.map((value, i) => (value * i) / (1 + (i * step) ** 2) ** 2);
  let left = LEFT_OUT * light.reduce((sum, value) => sum + value, 0);
  let end = all - 1;
  while (end > 1 && left >= light[end]) left -= light[end--];
  const weights = new Float64Array(end + 2);
  weights.set(values.subarray(0, end + 1));
  return { weights, reach: (end + 1) / STEPS_PER_HALF };
}

/**
 * What one tube sees of a scene: its mean over the tube's acceptance.
 *
 * Each pixel counts as light from its middle, with the cos⁴ of its slant: a matte (Lambertian) surface. The tube's own peak
 * transmission plays no part; a scene of even light that fills its view gives that light.
 *
 * @param distanceMm - of the scene from the front face
 */
export function glimpse(
  grid: SceneGrid,
  distanceMm: number,
  { weights, reach }: SightProfile,
  sight: Sight,
): Glimpse {
  const { width, height, data, stepMm, leftMm, topMm } = grid;
  const step = stepMm / distanceMm; // slopes from here on
  const left = (leftMm - sight.frontAcrossMm) / distanceMm;
  const top = (topMm - sight.frontUpMm) / distanceMm;
  const { slopeAcross, slopeUp, halfWidth } = sight;
  const radius = reach * halfWidth;
  const perSlope = STEPS_PER_HALF / halfWidth;
  const last = weights.length - 1;
  const lastY = Math.floor((top - slopeUp + radius) / step);
  let seen = 0;
  let inside = 0;
  let light = 0;
  for (let y = Math.ceil((top - slopeUp - radius) / step); y <= lastY; y++) {
    const up = top - y * step;
    const away = up - slopeUp;
    const chord = Math.sqrt(Math.max(0, radius * radius - away * away));
    const firstX = Math.ceil((slopeAcross - chord - left) / step);
    const lastX = Math.floor((slopeAcross + chord - left) / step);
    for (let x = firstX; x <= lastX; x++) {
      const across = left + x * step;
      const aside = across - slopeAcross;
      const place = perSlope * Math.sqrt(aside * aside + away * away);
      const i = place | 0;
      if (i >= last) continue;
      const slant = 1 + across * across + up * up;
      const weight = (weights[i] + (place - i) * (weights[i + 1] - weights[i])) / (slant * slant);
      seen += weight;
      if (x < 0 || x >= width || y < 0 || y >= height) continue;
      inside += weight;
      light += weight * data[y * width + x];
    }
  }
  return seen === 0 ? { light: 0, inside: 0 } : { light: light / seen, inside: inside / seen };
}
