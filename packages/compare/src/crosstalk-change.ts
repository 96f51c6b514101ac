import type { Note, Result } from '@twolamp/session';
import { mean, sampleVariance } from 'simple-statistics';
import { student95 } from '@twolamp/numeric';
import { percent } from './words.js';

/** Tubes tested in a session below which their scatter says too little for an interval; a judgement, no source. */
const LEAST_TESTED = 4;

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
export function crosstalkNotes(earlier: Result, later: Result): Note[] {
  const [before, after] = [totals(earlier), totals(later)];
  const note = (says: string): Note[] => [{ about: 'crosstalk', says }];
  if (before.length === 0 && after.length === 0) return [];
  if (before.length === 0 || after.length === 0) {
    return note(
      `Crosstalk can’t be compared: the ${before.length === 0 ? 'earlier' : 'later'} session has no single shots.`,
    );
  }
  const means =
    `Mean crosstalk ${percent(mean(before))} earlier (${before.length} tubes tested), ` +
    `${percent(mean(after))} later (${after.length})`;
  if (Math.min(before.length, after.length) < LEAST_TESTED) {
    return note(`${means}; too few tubes tested to say whether it differs.`);
  }
  const { low, high } = differenceInterval(before, after);
  const verdict = low > 0 ? 'it has grown' : high < 0 ? 'it has shrunk' : 'no difference shown';
  return note(
    `${means}: ${verdict}, 95\u00a0% interval of the difference ${percent(low)} to ${percent(high)}.`,
  );
}
