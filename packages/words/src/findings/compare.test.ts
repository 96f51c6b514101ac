import { type AnyFinding, finding } from '@twolamp/session';
import { expect, test } from 'vitest';
import { findingSentence } from './index.js';

/* What is said of a comparison: the right session, one and several, each figure with its unit. Written out from the values by hand. */

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const LAID_OUT = {
  earlierRows: 20,
  earlierColumns: 30,
  earlierArrangement: 'hexagonal',
  earlierShiftedRows: 'odd',
  laterRows: 0,
  laterColumns: 0,
  laterArrangement: 'packed',
  laterShiftedRows: null,
} as const;
const MEANS = { earlierMean: 0.031, earlierTubes: 1, laterMean: 0.0124, laterTubes: 12 };
const SEEN_TURNED = { mirrored: false, turnedDeg: 0, acrossPitches: 0, upPitches: 0 };

test.each<[AnyFinding, string]>([
  [
    finding('layouts-differ', 'tubes', LAID_OUT),
    'The arrays are laid out differently (earlier 20 × 30 tubes, hexagonal, odd rows shifted; later packed without rows), so a row and column do not name the same tube in both. They are compared as wholes.',
  ],
  [
    finding('packed-matched', 'tubes', {
      matched: 80,
      earlierTubes: 90,
      laterTubes: 85,
      turnedDeg: -3.14,
    }),
    'Packed tubes have no rows, so they were paired by their places and their light: 80 tubes, of 90 found earlier and 85 found later. The later photo shows the array turned by 3.14° clockwise. Numbers are those of the later result.',
  ],
  [
    finding('packed-not-matched', 'tubes', { earlierTubes: 90, laterTubes: 85 }),
    'The tubes found earlier (90) and later (85) could not be laid onto each other: too much was restacked, or it is another bundle. They are compared as wholes.',
  ],
  [
    finding('dimension-differs', 'array', { dimension: 'front-pitch', earlierMm: 3.6, laterMm: 4.6 }),
    'The stated front pitch differs: 3.6 mm earlier, 4.6 mm later.',
  ],
  [
    finding('array-seen-otherwise', 'tubes', { ...SEEN_TURNED, mirrored: true, turnedDeg: 180 }),
    'The later session shows the same tubes mirrored left to right and turned by 180°: only so do the differences of light from tube to tube match. As listed, rows and columns pair different tubes. Photograph the array the same way up from the same side, or correct the rows and columns.',
  ],
  [
    finding('array-seen-otherwise', 'tubes', { ...SEEN_TURNED, acrossPitches: -1, upPitches: 2 }),
    'The later session shows the same tubes moved by −1.0 pitches across and 2.0 up: only so do the differences of light from tube to tube match. As listed, rows and columns pair different tubes. Photograph the array the same way up from the same side, or correct the rows and columns.',
  ],
  [
    finding('faults-without-change', 'tubes', { tubes: 1 }),
    '1 tube is faulty in one session only, without a significant change: the fault is at the limit of detection, or one session has no shots to find it. They count as unchanged.',
  ],
  [
    finding('light-scale-unknown', 'scale', { healthy: 4, needed: 10 }),
    'Only 4 tubes are healthy and measured in both sessions; a common scale of light needs 10.',
  ],
  [
    finding('sessions-disagree', 'tubes', { scatter: 0.08, stated: 0.02 }),
    'The tubes’ light differs between the sessions by 8.0 % (standard deviation), while the stated uncertainties allow for 2.0 %. Either most tubes changed, or the sheet lay differently, or rows and columns were counted from another corner. A tube counts as changed only where it stands out from that.',
  ],
  [
    finding('common-light-changed', 'scale', { change: -0.082, sharedUncertainty: 0.021 }),
    'The light of the array as a whole has changed by −8 ± 2 %: more than the uncertainty of the bare shots explains. It is part of each tube’s change.',
  ],
  [
    finding('common-light-not-changed', 'scale', { change: 0.012, sharedUncertainty: 0.021 }),
    'The light of the array as a whole differs by 1 ± 2 %: no more than the uncertainty of the bare shots explains. It was taken out of each tube’s change.',
  ],
  [
    finding('pointing-not-compared', 'pointing', { healthy: 1, needed: 10 }),
    'Pointing cannot be compared: both sessions measured it for 1 healthy tube, and 10 are needed.',
  ],
  [
    finding('array-turned', 'pointing', { acrossDeg: -0.123, upDeg: 0.051, uncertaintyDeg: 0.021 }),
    'In its middle, the array as a whole looks 0.12° farther left and 0.05° farther up than before, each ± 0.02°. The array stood differently towards the lamps, or the lamps were measured differently. Each tube’s change is told without this common turn.',
  ],
  [
    finding('array-turned', 'pointing', { acrossDeg: 0.123, upDeg: -0.0001, uncertaintyDeg: 0.021 }),
    'In its middle, the array as a whole looks 0.12° farther right than before, each ± 0.02°. The array stood differently towards the lamps, or the lamps were measured differently. Each tube’s change is told without this common turn.',
  ],
  [
    finding('array-turned', 'pointing', { acrossDeg: 0.03, upDeg: -0.02, uncertaintyDeg: 0.021 }),
    'In its middle, the array as a whole looks where it looked before.',
  ],
  [
    finding('alignment', 'pointing', {
      earlierDeg: 0.112,
      earlierTubes: 300,
      laterDeg: 0.204,
      laterTubes: 290,
      lowDeg: 0.071,
      highDeg: 0.113,
    }),
    'Healthy tubes point 0.11° off the field of their neighbours earlier (standard deviation per axis, 300 tubes) and 0.2° later (290): they scatter more now. The 95 % interval of the difference is 0.07 to 0.11°.',
  ],
  [
    finding('resolving-not-measured', 'resolving', { lacking: 'both' }),
    'Neither session has a resolving distance.',
  ],
  [
    finding('resolving-not-measured', 'resolving', { lacking: 'earlier' }),
    'The earlier session has no resolving distance.',
  ],
  [
    finding('resolving-doubtful', 'resolving', { doubtful: 'later' }),
    'The distance of the later session is doubtful: what the session states does not fit its photos.',
  ],
  [
    finding('spacings-differ', 'resolving', {
      earlierSpacingM: 0.06,
      laterSpacingM: 0.05,
      earlierDistanceM: 3.118,
    }),
    'The lamps were 60 mm apart earlier and 50 mm later. The earlier distance, 3.12 m, was converted to a spacing of 50 mm at the same angle.',
  ],
  [
    finding('resolving-bound-only', 'resolving', { session: 'later', bound: 'beyond' }),
    'In the later session the lamps were still separate at the farthest distance shot: the resolving distance is larger than that.',
  ],
  [
    finding('resolving-bound-only', 'resolving', { session: 'earlier', bound: 'nearer' }),
    'In the earlier session the lamps were separate at no distance shot: the resolving distance is smaller than the nearest one.',
  ],
  [
    finding('bounds-leave-open', 'resolving', { earlierBound: 'within', laterBound: 'beyond' }),
    'So it stays open which of the two sees finer. Pairs shot farther away in the later session would have shown it.',
  ],
  [
    finding('bounds-leave-open', 'resolving', { earlierBound: 'nearer', laterBound: 'beyond' }),
    'So it stays open which of the two sees finer. Pairs shot nearer in the earlier session and farther away in the later session would have shown it.',
  ],
  [
    finding('crosstalk-few-tubes', 'crosstalk', MEANS),
    'Mean crosstalk (light that comes out of other tubes than it entered) was 3.1 % earlier (1 tube tested) and is 1.2 % later (12); too few tubes were tested to say whether it differs.',
  ],
  [
    finding('crosstalk-compared', 'crosstalk', { ...MEANS, low: -0.022, high: -0.0152 }),
    'Mean crosstalk (light that comes out of other tubes than it entered) was 3.1 % earlier (1 tube tested) and is 1.2 % later (12): it has shrunk. The 95 % interval of the difference is −2.2 to −1.5 %.',
  ],
  [
    finding('faulty-tubes', 'faults', {
      earlierFaulty: 6,
      earlierTubes: 80,
      laterFaulty: 3,
      laterTubes: 120,
    }),
    '6 of 80 tubes (7.5 %) were faulty earlier, 3 of 120 (2.5 %) are later.',
  ],
])('%j', (one, sentence) => {
  expect(plain(findingSentence(one))).toBe(sentence);
});
