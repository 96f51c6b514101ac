import { type ComparisonFinding, finding, type Result } from '@twolamp/session';
import { mean, sampleStandardDeviation } from 'simple-statistics';
import { student95 } from '@twolamp/numeric';
import { LEAST_HEALTHY } from './tuning.js';
import { type Bounded, differenceInterval } from './difference-interval.js';

/**
 * Standard deviation, each axis, by which healthy tubes point off the smooth field of all, with its 95 % interval; null where
 * fewer than {@link LEAST_HEALTHY} were measured.
 *
 * From the squares of the errors less what their measurement's uncertainty adds, so that a poorer sweep is no poorer array.
 */
function spreadDeg({ cells }: Result): (Bounded & { readonly tubes: number }) | null {
  const variances = cells.flatMap(({ fault, pointing }) =>
    fault === 'none' && pointing?.errorDeg != null && pointing.uncertaintyDeg !== null
      ? pointing.errorDeg ** 2 / 2 - pointing.uncertaintyDeg ** 2
      : [],
  );
  if (variances.length < LEAST_HEALTHY) return null;
  const variance = mean(variances);
  const half =
    (student95(variances.length - 1) * sampleStandardDeviation(variances)) / Math.sqrt(variances.length);
  const root = (value: number) => Math.sqrt(Math.max(0, value));
  return {
    value: root(variance),
    low: root(variance - half),
    high: root(variance + half),
    tubes: variances.length,
  };
}

/** How well the healthy tubes of each session are aligned, and the difference with its interval; nothing where neither is known. */
export function pointingSpreadFindings(earlier: Result, later: Result): ComparisonFinding[] {
  const [before, after] = [spreadDeg(earlier), spreadDeg(later)];
  if (before === null && after === null) return [];
  if (before === null || after === null) {
    const lacking = before === null ? 'earlier' : 'later';
    return [finding('alignment-not-compared', 'pointing', { lacking })];
  }
  const { low, high } = differenceInterval(before, after, 0);
  return [
    finding('alignment', 'pointing', {
      earlierDeg: before.value,
      earlierTubes: before.tubes,
      laterDeg: after.value,
      laterTubes: after.tubes,
      lowDeg: low,
      highDeg: high,
    }),
  ];
}
