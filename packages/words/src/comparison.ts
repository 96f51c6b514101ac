import type { Comparison, Resolving, Result, TubeVerdict } from '@twolamp/session';
import { distanceValue, measuredDistance } from './distance.js';
import { sentencesAbout } from './findings/index.js';
import {
  counted,
  decimal,
  interval,
  intervalDecimals,
  lengthM,
  listed,
  plusMinus,
  trimmed,
  withUnit,
} from './quantity.js';
import type { Answer } from './sentence.js';

/** Verdicts as they read after a count of one and of several, worst news first. */
const VERDICT_WORDS: readonly [TubeVerdict, one: string, several: string][] = [
  ['new fault', 'has a new fault', 'have a new fault'],
  ['worse', 'is worse', 'are worse'],
  ['mended', 'is mended', 'are mended'],
  ['still faulty', 'is still faulty', 'are still faulty'],
  ['changed', 'changed without being faulty', 'changed without being faulty'],
  ['unchanged', 'is unchanged', 'are unchanged'],
];

/** Tubes by verdict, in the order of the list; only what occurs. */
function countByVerdict({ tubes }: Comparison): { verdict: TubeVerdict; words: string; count: number }[] {
  return VERDICT_WORDS.map(([verdict, one, several]) => {
    const count = tubes.filter((tube) => tube.verdict === verdict).length;
    return { verdict, words: count === 1 ? one : several, count };
  }).filter(({ count }) => count > 0);
}

/** Nothing speaks for or against: because nothing is shown, or because nothing could be compared. */
function undecided({ resolving, tubes }: Comparison): string {
  if (resolving === null && tubes.length === 0) {
    return 'Whether it is better can’t be said: neither how fine it sees nor its tubes could be compared.';
  }
  if (resolving === null) {
    return 'No difference is shown in its faults; how fine it sees couldn’t be compared.';
  }
  if (tubes.length === 0) {
    return 'No difference is shown in how fine it sees; its tubes couldn’t be compared one by one.';
  }
  return 'No difference is shown: neither in how fine it sees nor in its faults.';
}

/** Better or not, from what speaks for it and what against it. */
export function overallAnswer(comparison: Comparison): Answer {
  const count = (...verdicts: TubeVerdict[]) =>
    comparison.tubes.filter(({ verdict }) => verdicts.includes(verdict)).length;
  const farther = comparison.resolving?.verdict === 'farther';
  const nearer = comparison.resolving?.verdict === 'nearer';
  const mended = count('mended');
  const spoilt = count('worse', 'new fault');
  const gains = [
    ...(farther ? ['it sees finer'] : []),
    ...(mended > 0 ? [`${counted(mended, 'tube is', 'tubes are')} mended`] : []),
  ];
  const losses = [
    ...(nearer ? ['it sees less fine'] : []),
    ...(spoilt > 0 ? [`${counted(spoilt, 'tube is', 'tubes are')} worse or newly faulty`] : []),
  ];
  if (gains.length > 0 && losses.length > 0) {
    return { headline: `Better in part: ${listed(gains)}, but ${listed(losses)}.`, details: [] };
  }
  if (gains.length > 0) return { headline: `Better: ${listed(gains)}.`, details: [] };
  if (losses.length > 0) return { headline: `Worse: ${listed(losses)}.`, details: [] };
  return { headline: undecided(comparison), details: [] };
}

const NO_INTERVAL = { low: null, high: null };

/** “2.90 m”, or “beyond 4.00 m” where the shots gave a bound only; as the result's own page says it. */
function boundedDistance(distanceM: number, resolving: Resolving | null): string {
  const { low, high } = resolving === null ? NO_INTERVAL : measuredDistance(resolving);
  const distance = distanceValue({ value: distanceM, low, high });
  if (resolving?.bound === 'beyond') return `beyond ${distance}`;
  if (resolving?.bound === 'nearer') return `nearer than ${distance}`;
  return distance;
}

/** How far two lamps stay separate, before and now. */
export function resolvingChangeAnswer(comparison: Comparison, earlier: Result, later: Result): Answer {
  const { resolving } = comparison;
  if (resolving === null) {
    return {
      headline: 'How far two lamps stay separate can’t be compared.',
      details: sentencesAbout(comparison.findings, 'resolving'),
    };
  }
  const { earlierM, laterM, differenceM, lowM, highM, verdict } = resolving;
  const decimals = lowM === null || highM === null ? 2 : intervalDecimals(lowM, highM);
  const before = boundedDistance(earlierM, earlier.resolving);
  const now = boundedDistance(laterM, later.resolving);
  const spacing = later.resolving ? ` ${lengthM(later.resolving.spacingM)} apart` : '';
  const headline = {
    farther: `Two lamps${spacing} now stay separate farther away: ${now}, earlier ${before}.`,
    nearer: `Two lamps${spacing} now stay separate less far away: ${now}, earlier ${before}.`,
    'no difference shown': `Two lamps${spacing} stay separate about as far as before: ${now}, earlier ${before}.`,
  }[verdict];
  const difference = withUnit(decimal(differenceM, decimals), 'm');
  const range =
    lowM === null || highM === null
      ? 'its interval is not known'
      : `95 % interval ${interval(lowM, highM, 'm')}`;
  const doubt =
    verdict === 'no difference shown'
      ? 'It may be no difference at all.'
      : 'That is more than its uncertainty.';
  return {
    headline,
    details: [
      `Difference ${difference} (${range}). ${doubt}`,
      ...sentencesAbout(comparison.findings, 'resolving'),
    ],
  };
}

/** Which tubes changed. */
export function tubesChangeAnswer(comparison: Comparison): Answer {
  const { tubes, falseDiscoveryRate } = comparison;
  if (tubes.length === 0) {
    return {
      headline: 'The arrays can’t be compared tube by tube.',
      details: sentencesAbout(comparison.findings, 'tubes', 'array'),
    };
  }
  const counts = countByVerdict(comparison);
  const pointing = tubes.filter((tube) => tube.pointing?.significant).length;
  const hasPointing = tubes.some((tube) => tube.pointing !== null);
  const changed = counts.filter(({ verdict }) => verdict !== 'unchanged');
  const share = withUnit(trimmed(falseDiscoveryRate * 100), '%');
  return {
    headline:
      changed.length === 0
        ? `None of the ${tubes.length} tubes has changed.`
        : `Of ${tubes.length} tubes, ${listed(changed.map(({ count, words }) => `${count} ${words}`))}.`,
    details: [
      `Of the changes called significant, ${share} at most are expected to be chance.`,
      hasPointing
        ? `${pointing === 0 ? 'No tube points' : counted(pointing, 'tube points', 'tubes point')} elsewhere than before.`
        : 'Whether tubes point elsewhere can’t be said: it takes a sweep of one lamp in both sessions.',
    ],
  };
}

/** How the brightness of the two sessions was matched. */
export function scaleAnswer({ scale, findings }: Comparison): Answer {
  if (scale === null) {
    return {
      headline: 'The light of the two can’t be compared.',
      details: sentencesAbout(findings, 'scale'),
    };
  }
  const factor = plusMinus(scale.later, scale.uncertainty);
  return scale.basis === 'absolute'
    ? {
        headline: `The later array passes ${factor} times the light of the earlier one.`,
        details: ['Both have bare shots, so this is a comparison of absolute transmission.'],
      }
    : {
        headline: 'Each tube is compared with the others, not with the light as a whole.',
        details: [
          `Each session’s light is in units of its own typical tube; the factor between them, ${factor}, was fitted to the tubes and taken out. Bare shots in both sessions would tell whether the array as a whole passes more light.`,
        ],
      };
}
