import type { Comparison, Note, Result } from '@twolamp/session';
import { absoluteLevel, LEAST_HEALTHY, ratioUncertainty } from './absolute-level.js';
import { percent } from './words.js';

const healthy = ({ cells }: Result) => cells.filter(({ fault }) => fault === 'none');

/**
 * Light of two arrays whose tubes can't be paired: ratio of their typical absolute transmissions.
 *
 * @returns a null scale, and a note why, where one of them has no absolute transmission
 */
export function wholeLight(earlier: Result, later: Result): { scale: Comparison['scale']; notes: Note[] } {
  const [before, after] = [absoluteLevel(healthy(earlier)), absoluteLevel(healthy(later))];
  if (before === null || after === null) {
    const says =
      `It takes the absolute transmission of ${LEAST_HEALTHY} healthy tubes in both sessions: a bare shot each, with ` +
      'exposures known.';
    return { scale: null, notes: [{ about: 'scale', says }] };
  }
  const ratio = after.typical / before.typical;
  const uncertainty =
    ratio * Math.hypot(ratioUncertainty(before, after, false), before.sampling, after.sampling);
  return { scale: { later: ratio, uncertainty, basis: 'absolute' }, notes: [] };
}

/** How many tubes need work in each of two arrays whose tubes can't be paired. */
export function wholeFaults(earlier: Result, later: Result): Note[] {
  const words = (result: Result) => {
    const faulty = result.cells.length - healthy(result).length;
    return `${faulty} of ${result.cells.length} tubes (${percent(faulty / result.cells.length)})`;
  };
  return [{ about: 'faults', says: `Faulty: ${words(earlier)} earlier, ${words(later)} later.` }];
}
