import type { Comparison, Note, Resolving } from '@twolamp/session';
import { type Bounded, differenceInterval } from './difference-interval.js';
import { metres } from './words.js';

/**
 * A resolving distance with the ends of its interval, m.
 *
 * @param factor - what distances are multiplied by to hold for another spacing: of lamps twice as far apart, two stay
 *   separate twice as far away, since the resolving angle is one of the array's
 */
function distanceOf({ distanceM, lowM, highM, bound }: Resolving, factor: number): Bounded {
  const low = { within: lowM, beyond: Math.min(lowM ?? distanceM, distanceM), nearer: null }[bound];
  const high = { within: highM, nearer: Math.max(highM ?? distanceM, distanceM), beyond: null }[bound];
  return {
    value: distanceM * factor,
    low: low === null ? Number.NEGATIVE_INFINITY : low * factor,
    high: high === null ? Number.POSITIVE_INFINITY : high * factor,
  };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

const BOUND_WORDS = {
  beyond: 'lamps were still separate at the farthest distance shot: its resolving distance lies beyond',
  nearer: 'lamps were separate at no distance shot: its resolving distance lies nearer',
} as const;

function boundNotes(earlier: Resolving, later: Resolving, isShown: boolean): string[] {
  const sides = [
    ['earlier', earlier.bound],
    ['later', later.bound],
  ] as const;
  const said = sides.flatMap(([when, bound]) =>
    bound === 'within' ? [] : [`In the ${when} session ${BOUND_WORDS[bound]}.`],
  );
  if (said.length === 0 || isShown) return said;
  const where = { within: '', beyond: 'farther away', nearer: 'nearer' };
  const missing = sides.flatMap(([when, bound]) =>
    bound === 'within' ? [] : [`${where[bound]} in the ${when} session`],
  );
  return [
    ...said,
    `That leaves open which of the two sees finer; pairs shot ${missing.join(' and ')} would have told.`,
  ];
}

/** Why the distances can't be held against each other; null if they can. */
function obstacle(earlier: Resolving | null, later: Resolving | null): string | null {
  if (earlier === null || later === null) {
    const without =
      earlier !== null
        ? 'The later session has'
        : later !== null
          ? 'The earlier session has'
          : 'The sessions have';
    return `${without} no resolving distance.`;
  }
  if (earlier.requiredDip === later.requiredDip) return null;
  const words = ({ criterion, requiredDip }: Resolving) => `${criterion}, a dip of ${requiredDip}`;
  return `The criteria differ (earlier ${words(earlier)}; later ${words(later)}); it takes the same in both sessions.`;
}

function spacingNote(earlier: Resolving, later: Resolving): string[] {
  if (earlier.spacingM === later.spacingM) return [];
  const mm = ({ spacingM }: Resolving) => `${Number((spacingM * 1000).toPrecision(4))}\u00a0mm`;
  return [
    `The lamps were ${mm(earlier)} apart earlier, ${mm(later)} later. The earlier distance, ${metres(earlier.distanceM)}, was ` +
      `carried over to ${mm(later)} at the same angle.`,
  ];
}

function intervalNote(earlier: Resolving, later: Resolving): string[] {
  return earlier.confidence === later.confidence
    ? []
    : [
        `The intervals hold at different confidence (${earlier.confidence}, ${later.confidence}), so the difference has none.`,
      ];
}

/**
 * Difference of two sessions' resolving distances.
 *
 * The interval comes from both intervals, at their confidence. Where a session gives a bound only, it is open to that side,
 * and a difference is shown only where the bound lies outside the other session's interval. Where the spacings differ,
 * the earlier distance is carried over to the later spacing by its angle. Verdict: farther or nearer where the interval
 * leaves out 0.
 *
 * @returns the change, or null where the sessions can't be compared; and notes why or how
 */
export function resolvingChange(
  earlier: Resolving | null,
  later: Resolving | null,
): { resolving: Comparison['resolving']; notes: Note[] } {
  const notesOf = (texts: readonly string[]): Note[] => texts.map((says) => ({ about: 'resolving', says }));
  const hindrance = obstacle(earlier, later);
  if (earlier === null || later === null || hindrance !== null) {
    return { resolving: null, notes: notesOf([hindrance!]) };
  }
  const before = distanceOf(earlier, later.spacingM / earlier.spacingM);
  const after = distanceOf(later, 1);
  const { low, high } =
    earlier.confidence === later.confidence
      ? differenceInterval(before, after)
      : { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };
  const verdict = low > 0 ? 'farther' : high < 0 ? 'nearer' : 'no difference shown';
  return {
    resolving: {
      earlierM: before.value,
      laterM: after.value,
      differenceM: after.value - before.value,
      lowM: finite(low),
      highM: finite(high),
      verdict,
    },
    notes: notesOf([
      ...spacingNote(earlier, later),
      ...intervalNote(earlier, later),
      ...boundNotes(earlier, later, verdict !== 'no difference shown'),
    ]),
  };
}
