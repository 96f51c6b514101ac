import { pairDip } from '@twolamp/optics';
import type { RadialResponse } from './radial-response.js';

const NODES = 240;
const REFINEMENTS = 40;

/**
 * Dip of two equal lamps against the slope between them, for the response as learned.
 *
 * Only the angle between the lamps matters, not where they stand: their images and the image of each move apart and
 * grow alike with the angular pitch.
 */
export interface DipCurve {
  /** @param slope - lamps' spacing ÷ their distance */
  readonly at: (slope: number) => number;
  /** Least slope at which the dip is at least, and above 0; null where no slope reaches it. */
  readonly slopeFor: (dip: number) => number | null;
}

export function dipCurve(response: RadialResponse): DipCurve {
  const farthest = 2.5 * response.reachSlope;
  const perSlope = NODES / farthest;
  const dips = Float64Array.from({ length: NODES + 1 }, (_, index) => {
    const light = (slope: number) => response.at(Math.abs(slope));
    return pairDip(light, index / perSlope, 2 * response.halfWidthSlope).dip;
  });
  const at = (slope: number) => {
    const place = Math.min(NODES, Math.max(0, slope * perSlope));
    const before = Math.min(NODES - 1, Math.floor(place));
    return dips[before]! + (place - before) * (dips[before + 1]! - dips[before]!);
  };
  const slopeFor = (dip: number) => {
    const met = (slope: number) => at(slope) > 0 && at(slope) >= dip;
    // From the far end inwards: two lamps far enough apart never merge again.
    let node = NODES;
    if (!met(node / perSlope)) return null;
    while (node > 0 && met((node - 1) / perSlope)) node--;
    let low = (node - 1) / perSlope;
    let high = node / perSlope;
    for (let step = 0; step < REFINEMENTS; step++) {
      const middle = (low + high) / 2;
      if (met(middle)) high = middle;
      else low = middle;
    }
    return high;
  };
  return { at, slopeFor };
}
