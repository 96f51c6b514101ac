import { type ComparisonFinding, finding, type Result } from '@twolamp/session';
import { mean, sampleVariance } from 'simple-statistics';
import { student95 } from '@twolamp/numeric';
import { LEAST_TESTED } from './tuning.js';

function totals({ cells }: Result): number[] {
  return cells.flatMap(({ crosstalk }) => (crosstalk === null ? [] : [crosstalk.total]));
}

/**
 * 95 % interval of the difference of two means, from the scatter among the tubes of each session.
 * Source: Welch, Biometrika 34 (1947) 28–35.
 */
function differenceInterval(
  earlier: readonly number[],
  later: readonly number[],
): { low: number; high: number } {
  const parts = [earlier, later].map((values) => ({
    variance: sampleVariance([...values]) / values.length,
    freedom: values.length - 1,
  }));
  const variance = parts.reduce((sum, part) => sum + part.variance, 0);
  const half =
    variance === 0
      ? 0
      : student95(variance ** 2 / parts.reduce((sum, part) => sum + part.variance ** 2 / part.freedom, 0)) *
        Math.sqrt(variance);
  const difference = mean([...later]) - mean([...earlier]);
  return { low: difference - half, high: difference + half };
}

/** Mean crosstalk of the tubes tested in each session, and its difference with interval; nothing where neither has any. */
export function crosstalkFindings(earlier: Result, later: Result): ComparisonFinding[] {
  const [before, after] = [totals(earlier), totals(later)];
  if (before.length === 0 && after.length === 0) return [];
  if (before.length === 0 || after.length === 0) {
    const lacking = before.length === 0 ? 'earlier' : 'later';
    return [finding('crosstalk-not-compared', 'crosstalk', { lacking })];
  }
  const means = {
    earlierMean: mean(before),
    earlierTubes: before.length,
    laterMean: mean(after),
    laterTubes: after.length,
  };
  if (Math.min(before.length, after.length) < LEAST_TESTED) {
    return [finding('crosstalk-few-tubes', 'crosstalk', means)];
  }
  return [finding('crosstalk-compared', 'crosstalk', { ...means, ...differenceInterval(before, after) })];
}
