import { choice, count, type FindingTable, number, part, text, yesNo } from './define.js';

const session = choice('which session', ['earlier', 'later']);
const layout = (when: string) =>
  ({
    rows: count(`rows, ${when}`),
    columns: count(`columns, ${when}`),
    arrangement: choice(`arrangement, ${when}`, ['square', 'hexagonal', 'packed']),
    shiftedRows: choice(`rows that sit half a pitch to the right, ${when}`, ['odd', 'even']).nullable(),
  }) as const;
const bound = (when: string) =>
  choice(`whether the resolving distance lies within the distances shot, ${when}`, [
    'within',
    'beyond',
    'nearer',
  ]);
const crosstalkMeans = {
  earlierMean: number('mean crosstalk of the tubes tested, earlier; share'),
  earlierTubes: count('tubes tested earlier'),
  laterMean: number('mean crosstalk of the tubes tested, later; share'),
  laterTubes: count('tubes tested later'),
};

/** An earlier result against a later one. */
export const COMPARE = {
  'layouts-differ': {
    about: part('tubes'),
    meaning: 'the arrays are laid out differently, so they are compared as wholes',
    values: {
      earlierRows: layout('earlier').rows,
      earlierColumns: layout('earlier').columns,
      earlierArrangement: layout('earlier').arrangement,
      earlierShiftedRows: layout('earlier').shiftedRows,
      laterRows: layout('later').rows,
      laterColumns: layout('later').columns,
      laterArrangement: layout('later').arrangement,
      laterShiftedRows: layout('later').shiftedRows,
    },
  },
  'packed-matched': {
    about: part('tubes'),
    meaning: 'packed tubes were paired by their places, then by their light',
    values: {
      matched: count('tubes found in both'),
      earlierTubes: count('tubes found earlier'),
      laterTubes: count('tubes found later'),
      turnedDeg: number('turn of the later photo against the earlier one, counter-clockwise'),
    },
  },
  'packed-not-matched': {
    about: part('tubes'),
    meaning: 'packed tubes could not be paired, so the arrays are compared as wholes',
    values: { earlierTubes: count('tubes found earlier'), laterTubes: count('tubes found later') },
  },
  'dimension-differs': {
    about: part('array'),
    meaning: 'a stated dimension differs',
    values: {
      dimension: choice('which', ['tube-length', 'tube-bore', 'back-pitch', 'front-pitch']),
      earlierMm: number('as stated earlier'),
      laterMm: number('as stated later'),
    },
  },
  'array-seen-otherwise': {
    about: part('tubes'),
    meaning:
      'the later session’s light fits the earlier one’s from tube to tube when turned, mirrored or moved',
    values: {
      mirrored: yesNo('left to right'),
      turnedDeg: number('clockwise, after mirroring'),
      acrossPitches: number('to the right, after turning'),
      upPitches: number('upwards'),
    },
  },
  'fingerprints-differ': {
    about: part('tubes'),
    meaning: 'light differs from tube to tube in both sessions, but not alike: other tubes, or another array',
    values: {},
  },
  'faults-without-change': {
    about: part('tubes'),
    meaning:
      'tubes that are faulty in one session only, without a significant change; they count as unchanged',
    values: { tubes: count('such tubes') },
  },
  'light-scale-unknown': {
    about: part('scale'),
    meaning: 'too few healthy tubes for a common scale of light',
    values: { healthy: count('tubes healthy and measured in both sessions'), needed: count('needed') },
  },
  'sessions-disagree': {
    about: part('tubes'),
    meaning: 'the tubes’ light differs between the sessions by more than the stated uncertainties allow for',
    values: {
      scatter: number('standard deviation of the differences, share of a typical tube'),
      stated: number('what the uncertainties allow for, likewise'),
    },
  },
  'common-light-unseen': {
    about: part('scale'),
    meaning: 'without bare shots in both sessions a change that all tubes share cannot be seen',
    values: {},
  },
  'common-light-changed': {
    about: part('scale'),
    meaning: 'the array’s light as a whole has changed significantly; this is part of each tube’s change',
    values: {
      change: number('later ÷ earlier − 1'),
      sharedUncertainty: number('standard uncertainty from the bare shots'),
    },
  },
  'common-light-not-changed': {
    about: part('scale'),
    meaning: 'no significant change of the array’s light as a whole; it was taken out of each tube’s change',
    values: {
      change: number('later ÷ earlier − 1'),
      sharedUncertainty: number('standard uncertainty from the bare shots'),
    },
  },
  'pointing-not-compared': {
    about: part('pointing'),
    meaning: 'pointing was measured in both sessions for too few healthy tubes',
    values: { healthy: count('tubes healthy and measured in both sessions'), needed: count('needed') },
  },
  'array-turned': {
    about: part('pointing'),
    meaning: 'the array as a whole looks elsewhere, which was taken out of each tube’s change',
    values: {
      acrossDeg: number('to the right, in its middle'),
      upDeg: number('upwards, in its middle'),
      uncertaintyDeg: number('standard uncertainty of each'),
    },
  },
  'alignment-not-compared': {
    about: part('pointing'),
    meaning: 'one session does not show how well the tubes are aligned',
    values: { lacking: session },
  },
  alignment: {
    about: part('pointing'),
    meaning: 'scatter of the healthy tubes’ pointing around the field of their neighbours, each axis',
    values: {
      earlierDeg: number('standard deviation, earlier'),
      earlierTubes: count('tubes, earlier'),
      laterDeg: number('standard deviation, later'),
      laterTubes: count('tubes, later'),
      lowDeg: number('lower end of the 95 % interval of later − earlier'),
      highDeg: number('upper end of it'),
    },
  },
  'resolving-not-measured': {
    about: part('resolving'),
    meaning: 'a session has no resolving distance',
    values: { lacking: choice('which', ['earlier', 'later', 'both']) },
  },
  'resolving-doubtful': {
    about: part('resolving'),
    meaning: 'a session states what its photos contradict, so its resolving distance is not compared',
    values: { doubtful: choice('which', ['earlier', 'later', 'both']) },
  },
  'criteria-differ': {
    about: part('resolving'),
    meaning: 'the sessions use different criteria, so the distances cannot be compared',
    values: {
      earlierCriterion: text('name, earlier'),
      earlierRequiredDip: number('least dip, earlier'),
      laterCriterion: text('name, later'),
      laterRequiredDip: number('least dip, later'),
    },
  },
  'spacings-differ': {
    about: part('resolving'),
    meaning:
      'the lamps’ spacing differs; the earlier distance was converted to the later spacing at equal angle',
    values: {
      earlierSpacingM: number('between the lamps, earlier'),
      laterSpacingM: number('between the lamps, later'),
      earlierDistanceM: number('resolving distance as measured earlier'),
    },
  },
  'confidences-differ': {
    about: part('resolving'),
    meaning: 'the intervals hold at different confidence, so the difference has none',
    values: { earlierConfidence: number('earlier'), laterConfidence: number('later') },
  },
  'resolving-bound-only': {
    about: part('resolving'),
    meaning: 'a session gives only a bound of its resolving distance',
    values: { session, bound: choice('which bound', ['beyond', 'nearer']) },
  },
  'bounds-leave-open': {
    about: part('resolving'),
    meaning: 'with bounds only, which of the two sees finer stays open',
    values: { earlierBound: bound('earlier'), laterBound: bound('later') },
  },
  'crosstalk-not-compared': {
    about: part('crosstalk'),
    meaning: 'one session has no single shots',
    values: { lacking: session },
  },
  'crosstalk-few-tubes': {
    about: part('crosstalk'),
    meaning: 'too few tubes were tested to compare crosstalk',
    values: crosstalkMeans,
  },
  'crosstalk-compared': {
    about: part('crosstalk'),
    meaning: 'mean crosstalk in both sessions, and its difference',
    values: {
      ...crosstalkMeans,
      low: number('lower end of the 95 % interval of later − earlier; share'),
      high: number('upper end of it'),
    },
  },
  'whole-light-not-compared': {
    about: part('scale'),
    meaning: 'too few healthy tubes have an absolute transmission in both sessions',
    values: { needed: count('needed in each') },
  },
  'faulty-tubes': {
    about: part('faults'),
    meaning: 'how many tubes need work in each of two arrays that are laid out differently',
    values: {
      earlierFaulty: count('faulty tubes earlier'),
      earlierTubes: count('tubes earlier'),
      laterFaulty: count('faulty tubes later'),
      laterTubes: count('tubes later'),
    },
  },
} as const satisfies FindingTable;
