import {
  counted,
  decimal,
  decimalsFor,
  interval,
  lengthM,
  listed,
  partPercent,
  percentPlusMinus,
  trimmed,
  withUnit,
} from '../quantity.js';
import { degrees, metres, percent, type WordsOf } from './words-of.js';

interface Layout {
  readonly rows: number;
  readonly columns: number;
  readonly arrangement: string;
  readonly shiftedRows: string | null;
}

function layoutWords({ rows, columns, arrangement, shiftedRows }: Layout): string {
  const shifted = shiftedRows === null ? '' : `, ${shiftedRows} rows shifted`;
  return rows === 0 ? 'packed without rows' : `${rows} × ${columns} tubes, ${arrangement}${shifted}`;
}

const DIMENSIONS = {
  'tube-length': 'tube length',
  'tube-bore': 'tube bore',
  'back-pitch': 'back pitch',
  'front-pitch': 'front pitch',
};

interface CrosstalkMeans {
  readonly earlierMean: number;
  readonly earlierTubes: number;
  readonly laterMean: number;
  readonly laterTubes: number;
}

function crosstalkMeans({ earlierMean, earlierTubes, laterMean, laterTubes }: CrosstalkMeans): string {
  return (
    `Mean crosstalk (light that comes out of other tubes than it entered) was ${percent(earlierMean)} earlier (${counted(earlierTubes, 'tube')} tested) and is ` +
    `${percent(laterMean)} later (${laterTubes})`
  );
}

/** Two significant digits without trailing zeros. */
const twoDigits = (value: number) => trimmed(Number(value.toPrecision(2)));

/** What an interval of later − earlier shows. */
function shown(low: number, high: number, more: string, less: string): string {
  return low > 0 ? more : high < 0 ? less : 'no difference is shown';
}

/** “0.12° farther right and 0.03° farther down”; a part that rounds to nothing isn't said. */
function turnWords(acrossDeg: number, upDeg: number, decimals: number): string {
  const parts = [
    { deg: acrossDeg, way: acrossDeg > 0 ? 'right' : 'left' },
    { deg: upDeg, way: upDeg > 0 ? 'up' : 'down' },
  ].flatMap(({ deg, way }) => {
    const size = decimal(Math.abs(deg), decimals);
    return Number(size) === 0 ? [] : [`${withUnit(size, '°')} farther ${way}`];
  });
  return listed(parts);
}
/** Decimals of a degree: no bench with a tape measure tells finer. */
const FINEST_DIGITS = 3;
/** Standard uncertainties that a turn must exceed to be told. Common practice, no source. */
const CLEAR = 2;

export const COMPARE_WORDS: WordsOf<'compare'> = {
  'layouts-differ': (of) => {
    const earlier = layoutWords({
      rows: of.earlierRows,
      columns: of.earlierColumns,
      arrangement: of.earlierArrangement,
      shiftedRows: of.earlierShiftedRows,
    });
    const later = layoutWords({
      rows: of.laterRows,
      columns: of.laterColumns,
      arrangement: of.laterArrangement,
      shiftedRows: of.laterShiftedRows,
    });
    return (
      `The arrays are laid out differently (earlier ${earlier}; later ${later}), so a row and column do not name the ` +
      'same tube in both. They are compared as wholes.'
    );
  },
  'packed-matched': ({ matched, earlierTubes, laterTubes, turnedDeg }) =>
    `Packed tubes have no rows, so they were paired by their places and their light: ${matched} tubes, of ${earlierTubes} found ` +
    `earlier and ${laterTubes} found later. The later photo shows the array turned by ${degrees(Math.abs(turnedDeg))}` +
    `${Math.abs(turnedDeg) < 0.05 ? '' : turnedDeg > 0 ? ' counter-clockwise' : ' clockwise'}. Numbers are those of the later result.`,
  'packed-not-matched': ({ earlierTubes, laterTubes }) =>
    `The tubes found earlier (${earlierTubes}) and later (${laterTubes}) could not be laid onto each other: too much was ` +
    'restacked, or it is another bundle. They are compared as wholes.',
  'dimension-differs': ({ dimension, earlierMm, laterMm }) =>
    `The stated ${DIMENSIONS[dimension]} differs: ${withUnit(trimmed(earlierMm), 'mm')} earlier, ${withUnit(trimmed(laterMm), 'mm')} later.`,
  'array-seen-otherwise': ({ mirrored, turnedDeg, acrossPitches, upPitches }) => {
    const how = [
      ...(mirrored ? ['mirrored left to right'] : []),
      ...(turnedDeg === 0 ? [] : [`turned by ${turnedDeg}°`]),
      ...(Math.hypot(acrossPitches, upPitches) < 0.5
        ? []
        : [`moved by ${decimal(acrossPitches, 1)} pitches across and ${decimal(upPitches, 1)} up`]),
    ];
    return (
      `The later session shows the same tubes ${listed(how)}: only so do the differences of light from tube to tube match. ` +
      'As listed, rows and columns pair different tubes. Photograph the array the same way up from the same side, or correct the rows and columns.'
    );
  },
  'fingerprints-differ': () =>
    'Light differs from tube to tube in both sessions, but not in the same way: this is another array, or nearly all tubes are new.',
  'faults-without-change': ({ tubes }) =>
    `${counted(tubes, 'tube is', 'tubes are')} faulty in one session only, without a significant change: the fault is ` +
    'at the limit of detection, or one session has no shots to find it. They count as unchanged.',
  'light-scale-unknown': ({ healthy, needed }) =>
    `Only ${counted(healthy, 'tube is', 'tubes are')} healthy and measured in both sessions; a common scale of light needs ${needed}.`,
  'sessions-disagree': ({ scatter, stated }) =>
    `The tubes’ light differs between the sessions by ${percent(scatter)} (standard deviation), while the stated ` +
    `uncertainties allow for ${percent(stated)}. Either most tubes changed, or the sheet lay differently, or rows and ` +
    'columns were counted from another corner. A tube counts as changed only where it stands out from that.',
  'common-light-unseen': () =>
    'Each session’s light is known only relative to its own typical tube. What all tubes lost or gained alike, or what ' +
    'varies smoothly over the array, cannot be seen. Bare shots in both sessions would show it.',
  'common-light-changed': ({ change, sharedUncertainty }) =>
    `The light of the array as a whole has changed by ${percentPlusMinus(change, sharedUncertainty)}: more than the ` +
    'uncertainty of the bare shots explains. It is part of each tube’s change.',
  'common-light-not-changed': ({ change, sharedUncertainty }) =>
    `The light of the array as a whole differs by ${percentPlusMinus(change, sharedUncertainty)}: no more than the ` +
    'uncertainty of the bare shots explains. It was taken out of each tube’s change.',
  'pointing-not-compared': ({ healthy, needed }) =>
    `Pointing cannot be compared: both sessions measured it for ${counted(healthy, 'healthy tube')}, and ${needed} are needed.`,
  'array-turned': ({ acrossDeg, upDeg, uncertaintyDeg }) => {
    const decimals = Math.min(FINEST_DIGITS, decimalsFor(uncertaintyDeg));
    const turn = turnWords(acrossDeg, upDeg, decimals);
    if (turn === '' || Math.hypot(acrossDeg, upDeg) <= CLEAR * uncertaintyDeg) {
      return 'In its middle, the array as a whole looks where it looked before.';
    }
    const each = withUnit(decimal(Math.max(uncertaintyDeg, 10 ** -decimals), decimals), '°');
    return (
      `In its middle, the array as a whole looks ${turn} than before, each ± ${each}. The array stood differently towards the ` +
      'lamps, or the lamps were measured differently. Each tube’s change is told without this common turn.'
    );
  },
  'alignment-not-compared': ({ lacking }) =>
    `How well the tubes are aligned cannot be compared: the ${lacking} session does not show it.`,
  alignment: ({ earlierDeg, earlierTubes, laterDeg, laterTubes, lowDeg, highDeg }) => {
    const verdict = shown(lowDeg, highDeg, 'they scatter more now', 'they scatter less now');
    return (
      `Healthy tubes point ${twoDigits(earlierDeg)}° off the field of their neighbours earlier (standard deviation per ` +
      `axis, ${counted(earlierTubes, 'tube')}) and ${twoDigits(laterDeg)}° later (${laterTubes}): ${verdict}. The 95\u00a0% ` +
      `interval of the difference is ${interval(lowDeg, highDeg, '°')}.`
    );
  },
  'resolving-not-measured': ({ lacking }) =>
    lacking === 'both'
      ? 'Neither session has a resolving distance.'
      : `The ${lacking} session has no resolving distance.`,
  'resolving-doubtful': ({ doubtful }) =>
    doubtful === 'both'
      ? 'The distances of both sessions are doubtful: what the sessions state does not fit their photos.'
      : `The distance of the ${doubtful} session is doubtful: what the session states does not fit its photos.`,
  'criteria-differ': ({ earlierCriterion, earlierRequiredDip, laterCriterion, laterRequiredDip }) =>
    `The criteria differ: ${earlierCriterion} earlier (a dip of ${earlierRequiredDip}), ${laterCriterion} later (a dip of ` +
    `${laterRequiredDip}). Distances can be compared only under the same criterion.`,
  'spacings-differ': ({ earlierSpacingM, laterSpacingM, earlierDistanceM }) =>
    `The lamps were ${lengthM(earlierSpacingM)} apart earlier and ${lengthM(laterSpacingM)} later. The earlier distance, ` +
    `${metres(earlierDistanceM)}, was converted to a spacing of ${lengthM(laterSpacingM)} at the same angle.`,
  'confidences-differ': ({ earlierConfidence, laterConfidence }) =>
    `The intervals hold at different confidence (${earlierConfidence} and ${laterConfidence}), so the difference has no interval.`,
  'resolving-bound-only': ({ session, bound }) =>
    bound === 'beyond'
      ? `In the ${session} session the lamps were still separate at the farthest distance shot: the resolving distance is larger than that.`
      : `In the ${session} session the lamps were separate at no distance shot: the resolving distance is smaller than the nearest one.`,
  'bounds-leave-open': ({ earlierBound, laterBound }) => {
    const sides = [
      { when: 'earlier', bound: earlierBound },
      { when: 'later', bound: laterBound },
    ];
    const missing = sides.flatMap(({ when, bound }) =>
      bound === 'within' ? [] : [`${bound === 'beyond' ? 'farther away' : 'nearer'} in the ${when} session`],
    );
    return `So it stays open which of the two sees finer. Pairs shot ${listed(missing)} would have shown it.`;
  },
  'crosstalk-not-compared': ({ lacking }) =>
    `Crosstalk cannot be compared: the ${lacking} session has no single shots.`,
  'crosstalk-few-tubes': (means) =>
    `${crosstalkMeans(means)}; too few tubes were tested to say whether it differs.`,
  'crosstalk-compared': ({ low, high, ...means }) =>
    `${crosstalkMeans(means)}: ${shown(low, high, 'it has grown', 'it has shrunk')}. The 95\u00a0% interval of the ` +
    `difference is ${interval(100 * low, 100 * high, '%')}.`,
  'whole-light-not-compared': ({ needed }) =>
    `Comparing the light needs the absolute transmission of ${needed} healthy tubes in both sessions: a bare shot each, ` +
    'with known exposures.',
  'faulty-tubes': ({ earlierFaulty, earlierTubes, laterFaulty, laterTubes }) =>
    `${earlierFaulty} of ${earlierTubes} tubes (${partPercent(earlierFaulty / earlierTubes)}) were faulty earlier, ` +
    `${laterFaulty} of ${laterTubes} (${partPercent(laterFaulty / laterTubes)}) are later.`,
};
