import { type Comparison, type ComparisonFinding, finding, type Result } from '@twolamp/session';
import { absoluteLevel, ratioUncertainty } from './absolute-level.js';
import { LEAST_HEALTHY } from './tuning.js';

const healthy = ({ cells }: Result) => cells.filter(({ fault }) => fault === 'none');

/**
 * Light of two arrays whose tubes can't be paired: ratio of their typical absolute transmissions.
 *
 * @returns a null scale, and a finding why, where one of them has no absolute transmission
 */
export function wholeLight(
  earlier: Result,
  later: Result,
): { scale: Comparison['scale']; findings: ComparisonFinding[] } {
  const [before, after] = [absoluteLevel(healthy(earlier)), absoluteLevel(healthy(later))];
  if (before === null || after === null) {
    return {
      scale: null,
      findings: [finding('whole-light-not-compared', 'scale', { needed: LEAST_HEALTHY })],
    };
  }
  const ratio = after.typical / before.typical;
  const uncertainty =
    ratio * Math.hypot(ratioUncertainty(before, after, false), before.sampling, after.sampling);
  return { scale: { later: ratio, uncertainty, basis: 'absolute' }, findings: [] };
}

/** How many tubes need work in each of two arrays whose tubes can't be paired. */
export function wholeFaults(earlier: Result, later: Result): ComparisonFinding {
  const faulty = (result: Result) => result.cells.length - healthy(result).length;
  return finding('faulty-tubes', 'faults', {
    earlierFaulty: faulty(earlier),
    earlierTubes: earlier.cells.length,
    laterFaulty: faulty(later),
    laterTubes: later.cells.length,
  });
}
