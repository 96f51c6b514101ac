import { type Comparison, type ComparisonFinding, finding, type Resolving } from '@twolamp/session';
import { type Bounded, differenceInterval } from './difference-interval.js';
import { MOST_ALIKE, SHARED_ERROR } from './tuning.js';

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

/** Half a 95 % interval of a normal distribution, in standard deviations. */
const HALF_95 = 1.96;

/** Correlation of two distances' errors, by how much of each is the part that both share; 0 where one is a bound only. */
function correlationOf(before: Bounded, after: Bounded): number {
  const relative = ({ value, low, high }: Bounded) => (high - low) / (2 * HALF_95 * value);
  return Math.min(MOST_ALIKE, SHARED_ERROR ** 2 / (relative(before) * relative(after)));
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

function boundFindings(earlier: Resolving, later: Resolving, isShown: boolean): ComparisonFinding[] {
  const sides = [
    ['earlier', earlier.bound],
    ['later', later.bound],
  ] as const;
  const said = sides.flatMap(([session, bound]) =>
    bound === 'within' ? [] : [finding('resolving-bound-only', 'resolving', { session, bound })],
  );
  if (said.length === 0 || isShown) return said;
  const bounds = { earlierBound: earlier.bound, laterBound: later.bound };
  return [...said, finding('bounds-leave-open', 'resolving', bounds)];
}

/** Why the distances can't be held against each other; null if they can. */
function obstacle(earlier: Resolving | null, later: Resolving | null): ComparisonFinding | null {
  if (earlier === null || later === null) {
    const lacking = earlier !== null ? 'later' : later !== null ? 'earlier' : 'both';
    return finding('resolving-not-measured', 'resolving', { lacking });
  }
  if (earlier.doubtful || later.doubtful) {
    const doubtful = !later.doubtful ? 'earlier' : !earlier.doubtful ? 'later' : 'both';
    return finding('resolving-doubtful', 'resolving', { doubtful });
  }
  if (earlier.requiredDip === later.requiredDip) return null;
  return finding('criteria-differ', 'resolving', {
    earlierCriterion: earlier.criterion,
    earlierRequiredDip: earlier.requiredDip,
    laterCriterion: later.criterion,
    laterRequiredDip: later.requiredDip,
  });
}

function spacingFindings(earlier: Resolving, later: Resolving): ComparisonFinding[] {
  if (earlier.spacingM === later.spacingM) return [];
  return [
    finding('spacings-differ', 'resolving', {
      earlierSpacingM: earlier.spacingM,
      laterSpacingM: later.spacingM,
      earlierDistanceM: earlier.distanceM,
    }),
  ];
}

function intervalFindings(earlier: Resolving, later: Resolving): ComparisonFinding[] {
  if (earlier.confidence === later.confidence) return [];
  return [
    finding('confidences-differ', 'resolving', {
      earlierConfidence: earlier.confidence,
      laterConfidence: later.confidence,
    }),
  ];
}

/**
 * Difference of two sessions' resolving distances.
 *
 * The interval comes from both intervals, at their confidence; the model's error is partly the same in both. Where a session
 * gives a bound only, it is open to that side, and a difference is shown only where the bound lies outside the other session's
 * interval. Where the spacings differ, the earlier distance is carried over to the later spacing by its angle. Verdict: farther
 * or nearer where the interval leaves out 0.
 *
 * @returns the change, or null where the sessions can't be compared; and findings why or how
 */
export function resolvingChange(
  earlier: Resolving | null,
  later: Resolving | null,
): { resolving: Comparison['resolving']; findings: ComparisonFinding[] } {
  const hindrance = obstacle(earlier, later);
  if (earlier === null || later === null || hindrance !== null) {
    return { resolving: null, findings: hindrance === null ? [] : [hindrance] };
  }
  const before = distanceOf(earlier, later.spacingM / earlier.spacingM);
  const after = distanceOf(later, 1);
  const { low, high } =
    earlier.confidence === later.confidence
      ? differenceInterval(before, after, correlationOf(before, after))
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
    findings: [
      ...spacingFindings(earlier, later),
      ...intervalFindings(earlier, later),
      ...boundFindings(earlier, later, verdict !== 'no difference shown'),
    ],
  };
}
