import type { Acceptance } from '../tube/acceptance.js';
import type { TubeSize } from '../tube/tube.js';
import { halfMaximum } from './half-maximum.js';

const NODES = 512;
/** The last node, 89.9° off the axis; beyond it nothing passes. */
const STEEPEST = 1000;

/**
 * Table of a radial acceptance. Nodes are evenly spaced in q, slope = (d/L)·sinh q: close together near the axis, ever
 * wider apart outside.
 *
 * @param transmission - asked once for each node
 */
export function straightAcceptance(tube: TubeSize, transmission: (slope: number) => number): Acceptance {
  const core = tube.boreMm / tube.lengthMm;
  const step = Math.asinh(STEEPEST / core) / (NODES - 1);
  const slopes = Float64Array.from({ length: NODES }, (_, i) => core * Math.sinh(i * step));
  const table = slopes.map(transmission);

  const at = (slopeAcross: number, slopeUp: number): number => {
    const u = Math.sqrt(slopeAcross * slopeAcross + slopeUp * slopeUp) / core;
    const place = Math.log(u + Math.sqrt(u * u + 1)) / step;
    const i = Math.floor(place);
    if (!(i < NODES - 1)) return 0;
    return table[i] + (place - i) * (table[i + 1] - table[i]);
  };

  const width = 2 * Math.atan(halfMaximum(slopes, table).high);
  return {
    at,
    axial: table[0],
    widthRad: width,
    widthBesideRad: width,
    centre: { across: 0, up: 0 },
    evenThroughput: evenThroughput(slopes, table),
  };
}

/** ∫ T dv over v = sin² of the angle, which even light fills evenly; trapezoids between the nodes. */
function evenThroughput(slopes: Float64Array, table: Float64Array): number {
  const sin2 = (slope: number) => (slope * slope) / (1 + slope * slope);
  let sum = 0;
  for (let i = 1; i < slopes.length; i++) {
    sum += ((table[i - 1] + table[i]) / 2) * (sin2(slopes[i]) - sin2(slopes[i - 1]));
  }
  return sum;
}
