import type { Survey } from '@twolamp/cells';
import { type Evidence, type Finding, finding, type Session } from '@twolamp/session';
import type { PackingOrder } from './packing-order.js';
import { TOLD_TURN_DEG } from './tuning.js';

/** How many tubes were found, how well they lie, and whether the photo shows them turned. */
export function packingFindings(
  { breaks, slips, gaps }: PackingOrder,
  { array }: Session,
  { u }: Pick<Survey, 'u'>,
  turnedDeg: number,
): Finding[] {
  const order = finding('packing-order', 'photos', {
    foundTubes: u.length,
    statedTubes: array.tubes ?? u.length,
    breaks: breaks.length,
    slips: slips.length,
    gaps: gaps.length,
  });
  if (Math.abs(turnedDeg) < TOLD_TURN_DEG) return [order];
  return [order, finding('photo-turned', 'pointing', { turnedDeg })];
}

/** The same for the page, which draws it: numbers from 1. */
export function packingEvidence({ breaks, slips, gaps }: PackingOrder): Evidence['packing'] {
  const pairs = (list: PackingOrder['slips']) => list.map(([a, b]): [number, number] => [a + 1, b + 1]);
  return { breaks: breaks.map((tube) => tube + 1), slips: pairs(slips), gaps: pairs(gaps) };
}
