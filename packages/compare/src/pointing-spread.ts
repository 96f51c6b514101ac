import type { Note, Result } from '@twolamp/session';
import { mean, sampleStandardDeviation } from 'simple-statistics';
import { student95 } from '@twolamp/numeric';
import { LEAST_HEALTHY } from './absolute-level.js';
import { type Bounded, differenceInterval } from './difference-interval.js';
import { twoDigits } from './words.js';

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

/** How well the healthy tubes of each session are aligned, and the difference with its interval; nothing where neither tells. */
export function pointingSpreadNotes(earlier: Result, later: Result): Note[] {
  const [before, after] = [spreadDeg(earlier), spreadDeg(later)];
  const note = (says: string): Note[] => [{ about: 'pointing', says }];
  if (before === null && after === null) return [];
  if (before === null || after === null) {
    return note(
      `How well the tubes are aligned can’t be compared: the ${before === null ? 'earlier' : 'later'} session doesn’t tell.`,
    );
  }
  const { low, high } = differenceInterval(before, after);
  const verdict = low > 0 ? 'they scatter more' : high < 0 ? 'they scatter less' : 'no difference shown';
  return note(
    `Healthy tubes point ${twoDigits(before.value)}° off the field around them earlier (standard deviation each way, ${before.tubes} ` +
      `tubes), ${twoDigits(after.value)}° later (${after.tubes}): ${verdict}, 95\u00a0% interval of the difference ` +
      `${twoDigits(low)}° to ${twoDigits(high)}°.`,
  );
}
