import { type AnyFinding, finding, type Reason, reason } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { COMPARE_WORDS } from './compare.js';
import { CROSSTALK_WORDS } from './crosstalk.js';
import { DOUBT_WORDS } from './doubt.js';
import { FAULTS_WORDS } from './faults.js';
import { findingSentence, reasonsText } from './index.js';
import { PAIRS_WORDS } from './pairs.js';
import { PHOTOS_WORDS } from './photos.js';
import { POINTING_WORDS } from './pointing.js';
import { PREVIEW_WORDS } from './preview.js';
import { TRANSMISSION_WORDS } from './transmission.js';
import { WALL_WORDS } from './wall.js';

/*
 * What each finding says of its values: every figure with its unit, the right side and the right session, one and several. Sentences
 * are written out from the values by hand.
 */

const at = (row: number, column: number) => ({ cell: (row - 1) * 30 + column, row, column });
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

/** Codes whose sentence has no value in it. */
const ALL = {
  ...COMPARE_WORDS,
  ...CROSSTALK_WORDS,
  ...DOUBT_WORDS,
  ...FAULTS_WORDS,
  ...PAIRS_WORDS,
  ...PHOTOS_WORDS,
  ...POINTING_WORDS,
  ...PREVIEW_WORDS,
  ...TRANSMISSION_WORDS,
  ...WALL_WORDS,
};
const FIXED = Object.entries(ALL).filter(([, words]) => words.length === 0) as [string, () => string][];

test.each(FIXED)('%s: whole sentences', (_, words) => {
  expect(words()).toMatch(/^\p{Lu}.*[^\s.]\.$/u);
  for (const sentence of words().split(/(?<=\.) /)) expect(sentence).toMatch(/^\p{Lu}.{8,}\.$/u);
  expect(words()).not.toMatch(/ {2}| [.,:;]|\(\)/);
});

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
const MISTYPED = { fittingUncertainty: 0.01 };
const SEEN_TURNED = { mirrored: false, turnedDeg: 0, acrossPitches: 0, upPitches: 0 };

describe.each<[string, readonly (readonly [AnyFinding, string])[]]>([
  [
    'comparisons',
    [
      [
        finding('layouts-differ', 'array', LAID_OUT),
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
        finding('pointing-not-compared', 'tubes', { healthy: 1, needed: 10 }),
        'Pointing cannot be compared: both sessions measured it for 1 healthy tube, and 10 are needed.',
      ],
      [
        finding('array-turned', 'tubes', { acrossDeg: -0.123, upDeg: 0.051, uncertaintyDeg: 0.021 }),
        'In its middle, the array as a whole looks 0.12° farther left and 0.05° farther up than before, each ± 0.02°. The array stood differently towards the lamps, or the lamps were measured differently. Each tube’s change is told without this common turn.',
      ],
      [
        finding('array-turned', 'tubes', { acrossDeg: 0.123, upDeg: -0.0001, uncertaintyDeg: 0.021 }),
        'In its middle, the array as a whole looks 0.12° farther right than before, each ± 0.02°. The array stood differently towards the lamps, or the lamps were measured differently. Each tube’s change is told without this common turn.',
      ],
      [
        finding('array-turned', 'tubes', { acrossDeg: 0.03, upDeg: -0.02, uncertaintyDeg: 0.021 }),
        'In its middle, the array as a whole looks where it looked before.',
      ],
      [
        finding('alignment', 'tubes', {
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
        finding('faulty-tubes', 'tubes', {
          earlierFaulty: 6,
          earlierTubes: 80,
          laterFaulty: 3,
          laterTubes: 120,
        }),
        '6 of 80 tubes (7.5 %) were faulty earlier, 3 of 120 (2.5 %) are later.',
      ],
    ],
  ],
  [
    'doubts',
    [
      [
        finding('doubt-photo-kind', 'dark.jpg', {
          statedKind: 'dark',
          seenAs: 'tubes lit',
          seenAgainst: null,
          fittingKind: 'even',
        }),
        'dark.jpg is stated as a dark shot, but tubes are lit in it. It looks like an even shot. It was left out.',
      ],
      [
        finding('doubt-mirrored', 'shots.up', { fittingKinds: 'both', fittingAxis: 'up' }),
        'The images in the lamp and pair shots move opposite to their stated places: up has the wrong sign in all of them, or the photos are mirrored. Seen from the back, across grows to the right and up upwards.',
      ],
      [
        finding('doubt-mirrored', 'shots.across', { fittingKinds: 'lamp', fittingAxis: 'both' }),
        'The images in the lamp shots move opposite to their stated places: across and up have the wrong sign in all of them, or the photos are turned by 180°. Seen from the back, across grows to the right and up upwards.',
      ],
      [
        finding('doubt-axes-exchanged', 'shots.across', {
          fittingKinds: 'lamp',
          fittingAcross: '-up',
          fittingUp: 'across',
        }),
        'In the lamp shots, across and up seem to be exchanged (across fits minus up, up fits across), or the camera was turned by a quarter.',
      ],
      [
        finding('doubt-pairs-turned', 'shots.turned', { statedDeg: 0, fittingDeg: 90 }),
        'turned: 0° is stated of the pairs, but their images fit 90°.',
      ],
      [
        finding('doubt-unit', 'array.tube-length', {
          length: 'tube-length',
          statedMm: 19,
          fittingMm: 190,
          fittingFactor: 10,
        }),
        'tube-length: 19 mm is stated, but the photos fit 190 mm, as if cm had been meant where mm stands, or a digit is missing.',
      ],
      [
        finding('doubt-unit', 'shots.distance', {
          length: 'pair distance',
          statedMm: 3000,
          fittingMm: 914.4,
          fittingFactor: 0.3048,
        }),
        'The photos fit the distances of the pair shots times 0.3048 (914.4 mm in place of 3 m in the first), as if ft had been meant where m stands.',
      ],
      [
        finding('doubt-length', 'array.front-pitch', {
          length: 'front-pitch',
          statedMm: 4.8,
          fittingMm: 3.812,
          fittingFactor: 0.7942,
          ...MISTYPED,
        }),
        'front-pitch: 4.8 mm is stated, but the photos fit 3.81 ± 0.04 mm.',
      ],
      [
        finding('doubt-length', 'shots.distance', {
          length: 'lamp distance',
          statedMm: 2000,
          fittingMm: 2512,
          fittingFactor: 1.256,
          ...MISTYPED,
        }),
        'The photos fit the distances of the lamp shots times 1.256 ± 0.013 (2.512 m in place of 2 m in the first).',
      ],
      [
        finding('doubt-from-sheet', 'shots.distance', { fittingKinds: 'pair', fittingOffsetMm: -190 }),
        'The distances of the pair shots fit as if measured from the sheet: from the front face they would be 190 mm shorter.',
      ],
      [
        finding('doubt-distance-offset', 'shots.distance', {
          fittingKinds: 'both',
          fittingOffsetMm: 103,
          fittingUncertaintyMm: 12,
        }),
        'The distances of the lamp and pair shots would fit if each were 103 ± 12 mm longer. They count from the front face.',
      ],
      [
        finding('doubt-labels-shifted', 'shots', {
          kind: 'lamp',
          statedFrom: 'lamp-07.jpg',
          fittingShift: 'the one after it',
        }),
        'From lamp-07.jpg on, each of the lamp shots fits what is stated of the one after it: the list has a photo too few or too many.',
      ],
      [
        finding('doubt-order', 'shots', { kind: 'lamp', fittingOrder: 'serpentine' }),
        'The lamp shots would fit with every second row walked the other way: photos and stated places are not listed in the same order.',
      ],
      [
        finding('doubt-labels-swapped', 'a.jpg', { statedFirst: 'a.jpg', statedSecond: 'b.jpg' }),
        'a.jpg and b.jpg each fit what is stated of the other: swap their places in the session. Both were left out.',
      ],
      [
        finding('doubt-number', 'shots[4].across', {
          photo: 'lamp-2.jpg',
          shots: 1,
          field: 'across',
          statedMm: 240,
          fittingMm: -238,
          fittingUncertaintyMm: 4,
        }),
        'lamp-2.jpg: across 240 mm is stated, but the photo fits −238 ± 4 mm. Left out.',
      ],
      [
        finding('doubt-number', 'shots[4].distance', {
          photo: 'lamp-2.jpg',
          shots: 3,
          field: 'distance',
          statedMm: 2000,
          fittingMm: 1213,
          fittingUncertaintyMm: 40,
        }),
        'lamp-2.jpg: distance 2 m is stated (in 3 shots), but the photo fits 1.21 ± 0.04 m. Left out.',
      ],
      [
        finding('doubt-exposure', 'lamp-2.jpg', { fittingFactor: 2.03, fittingUncertainty: 0.02 }),
        'lamp-2.jpg: its light fits an exposure of 2.03 ± 0.04 times the stated one. Left out.',
      ],
      [
        finding('doubt-alternative', 'shots.distance', {
          length: 'distance',
          statedMm: 2000,
          fittingMm: 2500,
          fittingFactor: 1.25,
        }),
        'Nearly as well: the photos fit the distances of the lamp and pair shots times 1.25 (2.5 m in place of 2 m in the first).',
      ],
      [
        finding('doubt-unexplained', 'shots', { seenShots: 4, statedShots: 30 }),
        '4 of 30 lamp and pair shots don’t fit their stated places, and no single change of the session explains it.',
      ],
    ],
  ],
  [
    'pairs',
    [
      [
        finding('response-from-pairs', 'pairs', { lampsWanted: 3 }),
        'There are fewer than 3 lamp shots, so the image of a single lamp was fitted to the pair shots themselves.',
      ],
      [
        finding('pair-at-criterion', 'pair-1.jpg', {
          dip: 0.2712,
          dipUncertainty: 0.011,
          requiredDip: 0.265,
        }),
        'pair-1.jpg: the dip, 0.271 ± 0.011, is too close to the required 0.265 to decide.',
      ],
      [
        finding('dip-readings-differ', 'pairs', {
          photos: ['a.jpg', 'b.jpg'],
          distanceM: 2.5,
          modelDip: 0.312,
          plainDip: 0.221,
          uncertainty: 0.02,
        }),
        'At 2.50 m (a.jpg and b.jpg) the cells’ light itself shows a dip of 0.22 ± 0.02, the model 0.31. Tubes there see differently from the rest, or the photos are not what the session states.',
      ],
      [
        finding('resolving-readings-differ', 'resolving', { modelM: 3.12, plainM: 2.81, uncertaintyM: 0.09 }),
        'A plain curve through the dips crosses the criterion at 2.81 m, the model at 3.12 m: they differ by more than their uncertainty of 0.09 m. Take the resolving distance with care, and shoot more pairs about there.',
      ],
      [
        finding('lamps-off-stated-places', 'resolving', { acrossDeg: -0.31, upDeg: 0.12 }),
        'In all shots the lamps appear 0.31° too far left and 0.12° too far up for their stated places. This was corrected.',
      ],
      [
        finding('separate-at-all-distances', 'resolving', {
          shotM: 4,
          crossingM: 4.6,
          lowM: 4.2,
          highM: 5.1,
        }),
        'The lamps are separate at every distance shot. Extrapolated, the dip curve crosses the criterion at about 4.60 m (95 % interval 4.20 m to 5.10 m). Shoot pairs beyond 4.00 m.',
      ],
      [
        finding('separate-at-no-distance', 'resolving', { shotM: 1, crossingM: 0.8, lowM: 0.7, highM: 0.9 }),
        'The lamps are separate at no distance shot. Extrapolated, the dip curve crosses the criterion at about 0.80 m (95 % interval 0.70 m to 0.90 m). Shoot pairs nearer than 1.00 m.',
      ],
      [
        finding('few-distances', 'resolving', { distances: 1, wanted: 4 }),
        'There are pair shots from 1 distance only; 4 or more make the resolving distance more certain.',
      ],
      [
        finding('cells-undersample', 'resolving', { separate: 2, pairs: 5 }),
        'The image of one lamp is hardly wider than one cell. A lamp can fall into a gap between the tubes’ views, so whether two are separate depends on where they lie: 2 of 5 pair shots are separate.',
      ],
    ],
  ],
  [
    'photos',
    [
      [
        finding('stray-light-strong', 'dark.jpg', { share: 0.41 }),
        'According to dark.jpg, 41 % of the light in the spots of the even shot is stray light. It is taken off, but the rest, the tubes’ own light, is noisy. Darken the room, or bring the even light nearer.',
      ],
      [
        finding('repeats-disagree', 'e2.jpg', {
          against: 'e1.jpg',
          isOdd: true,
          disagreeing: 1,
          first: [at(2, 3)],
        }),
        'e2.jpg and e1.jpg are repeats, but disagree in 1 cell (row 2, column 3). Its other repeats agree, so these cells are measured by them. The file may be damaged, or the light changed: copy it again, or leave it out.',
      ],
      [
        finding('exposure-missing', 'photos', { photos: ['a.jpg'] }),
        'a.jpg doesn’t say how long the exposure was: left out of all that compares brightness from photo to photo. State the exposure on the shot.',
      ],
      [
        finding('exposure-taken', 'photos', {
          photos: Array.from({ length: 10 }, (_, n) => `${n}.jpg`),
          exposureS: 0.125,
        }),
        '0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg, 5.jpg, 6.jpg, 7.jpg and 2 more don’t say how long the exposure was: 0.125 s is taken, as in all other photos of the kind. If that is wrong, state the exposure on the shot.',
      ],
      [
        finding('camera-moved', 'even-2.jpg', {
          movedPx: 43.7,
          movedPitches: 1.279,
          arrayTurnedDeg: null,
          arrayMirrored: false,
        }),
        'even-2.jpg was taken from another place: the picture had moved by 44 pixels (1.28 of a pitch). The shots listed after it are measured from there, tube by tube as before.',
      ],
      [
        finding('camera-moved', 'even-2.jpg', {
          movedPx: 0,
          movedPitches: 0,
          arrayTurnedDeg: 180,
          arrayMirrored: true,
        }),
        'even-2.jpg was taken from another place: the array shows mirrored and turned by 180° there. The shots listed after it are measured from there, tube by tube as before.',
      ],
      [
        finding('light-beside-map', 'even.jpg', {
          places: [
            { row: 1, column: 2 },
            { row: 4, column: 9 },
          ],
          unfilled: 1,
        }),
        'even.jpg shows light where the map has no tube (row 1, column 2; row 4, column 9): it is left out of all figures. If tubes were added there, write # for them in the map.',
      ],
      [
        finding('packing-order', 'photos', { foundTubes: 91, statedTubes: 90, breaks: 1, slips: 2, gaps: 0 }),
        '91 packed tubes were found (stated: 90). A dark tube at the rim cannot be told from no tube. Out of hexagonal order: 1 tube at breaks, 2 slips, 0 gaps.',
      ],
      [
        finding('photo-turned', 'pointing', { turnedDeg: 4.2 }),
        'As the lamp shots show, the array is turned by 4.20° counter-clockwise in the photos. Places and pointing are given as if the camera had stood upright.',
      ],
      [
        finding('camera-response-misfit', 'photos', { series: 'bare', residualStops: 0.231 }),
        'The exposure series of bare shots does not fit one camera response: it is off by 0.23 stops. Something moved, the light changed, or an exposure is not as stated. All figures rest on that response.',
      ],
    ],
  ],
  [
    'pointing',
    [
      [
        finding('lamps-too-few', 'pointing', { lamps: 5, needed: 9 }),
        'Pointing needs lamp shots from at least 9 places; this session has 5.',
      ],
      [
        finding('lamps-far-apart', 'pointing', { spacingDeg: 1.371, widthDeg: 0.94 }),
        'Neighbouring lamp places are 1.37° apart, and a tube sees 0.94° wide in the light of lamps this near. Closer places would light more tubes with several lamps.',
      ],
      [
        finding('lamp-images-unclear', 'pointing', { photos: ['a.jpg'] }),
        'a.jpg shows no clear image of one lamp, so whether the stated place is right was not checked. Check that it is the right photo.',
      ],
      [
        finding('lamp-images-unclear', 'pointing', { photos: ['a.jpg', 'b.jpg'] }),
        'a.jpg and b.jpg show no clear image of one lamp, so whether the stated places are right was not checked. Check that they are the right photos.',
      ],
      [
        finding('tubes-not-pointed', 'pointing', { tubes: 10, dark: 1, fewLamps: 2, rim: 3, ambiguous: 4 }),
        'The direction of 10 tubes could not be measured: 1 not lit by any lamp, 2 lit by too few lamps, 3 looking past or at the rim of the sweep and 4 with light that fits more than one direction.',
      ],
      [
        finding('lamp-diameter-not-stated', 'pointing', { widthShare: 0.031 }),
        'The lamp diameter is not stated, which makes acceptance widths uncertain by 3.1 %. Add lamp-diameter to the session: the width of the part that shines.',
      ],
    ],
  ],
  [
    'light, crosstalk and faults',
    [
      [
        finding('bare-misfit', 'transmission.absolute', {
          photo: 'bare.jpg',
          typical: 1.42,
          uncertainty: 0.051,
        }),
        'According to bare.jpg a tube would pass 142 % ± 5.1 % of the light, which cannot be. Check its exposure, and that it shows the sheet alone in the same light.',
      ],
      [
        finding('light-negative', 'transmission.relative', { negative: 2, lowest: -0.31, first: [at(2, 3)] }),
        '2 cells (row 2, column 3; 1 more) are darker than the background around them, down to −31 % of a typical tube’s light, which cannot be. Something lights the gaps between the tubes, or the photo is damaged.',
      ],
      [
        finding('sheet-non-uniform', 'transmission.relative', { scatter: 0.021 }),
        'The sheet itself varies by about 2.1 % from cell to cell, and this cannot be separated from the tubes’ light. A bare shot would remove it.',
      ],
      [
        finding('single-not-lit', 'crosstalk', {
          photo: 'single.jpg',
          tube: { cell: 7, row: null, column: null },
        }),
        'single.jpg: the tube at tube 7 is not the one that is lit, or it gives too little light.',
      ],
      [
        finding('leaks-not-tested', 'faults', { suspectedFrom: 0.082 }),
        'No tube was lit alone, so no leak can be proved. A leak of 8.2 % or more can be suspected where a tube is too dim and its neighbour too bright by the same amount.',
      ],
      [
        finding('leaks-not-tested', 'faults', { suspectedFrom: null }),
        'No tube was lit alone, so no leak can be proved.',
      ],
      [
        finding('pull-gain', 'pull', { tubes: 8, gain: 0.0312, gainUncertainty: 0.0021 }),
        'Replacing all 8 tubes on the pull list would return 3.1 ± 0.2 % of the array’s light to where it belongs.',
      ],
      [
        finding('pull-dip', 'pull', {
          spacingMm: 60,
          distanceM: 3.1,
          meanDip: 0.25,
          dipGain: 0.0123,
          dipGainUncertainty: 0.003,
        }),
        'Replacing the tubes on the pull list would change the mean dip of two lamps 60 mm apart at 3.10 m by 0.012 ± 0.003.',
      ],
    ],
  ],
  [
    'previews',
    [
      [
        finding('pointing-sparse', 'picture', { known: 12, tubes: 600 }),
        'Pointing was measured for 12 of 600 tubes, too few for a field. The other tubes follow the stated dimensions.',
      ],
      [
        finding('acceptance-assumed', 'picture', { from: 'black walls' }),
        'How wide the tubes see was not measured (no lamp sweep). It is taken from the dimensions with walls that reflect nothing; tubes with glossier walls blur more.',
      ],
      [
        finding('field-of-view', 'picture', { widthM: 1.204, heightM: 0.903 }),
        'At the scene’s distance the tubes look at a field of 1.20 m × 0.90 m.',
      ],
      [
        finding('tubes-look-past-scene', 'picture', { beside: 31, tubes: 600 }),
        '31 of 600 tubes look mostly past the edges of the photo, where the preview is dark. They do not count in the similarity.',
      ],
      [
        finding('scene-clipped', 'picture', { share: 0.012 }),
        '1.2 % of the scene’s pixels are clipped: lights there are brighter than the photo shows.',
      ],
    ],
  ],
])('%s', (_, sentences) => {
  test.each(sentences)('%j', (one, sentence) => {
    expect(plain(findingSentence(one))).toBe(sentence);
  });
});

const ASIDE = { acrossDeg: 0.3, upDeg: 0.4, totalDeg: 0.5 };

describe('why a tube counts as faulty', () => {
  test.each<[Reason, string]>([
    [
      reason('hardly-any-light', { share: -0.012, lit: false }),
      'It passes 0 % of its neighbours’ light: practically nothing.',
    ],
    [
      reason('hardly-any-light', { share: 0.062, lit: true }),
      'It passes 6.2 % of its neighbours’ light, which leaks in from a neighbour: it passes practically nothing itself.',
    ],
    [
      reason('open', { share: 3.14 }),
      'It passes 3.1 times its neighbours’ light: the hole is empty, or the tube is too wide.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'not measured' }),
      'It passes 71 % of its neighbours’ light. Lamp shots from many places would show whether it is bent, misaimed or dirty.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'does not apply' }),
      'It passes 71 % of its neighbours’ light: dirt, a crushed end, or something in it.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'not known' }),
      'It passes 71 % of its neighbours’ light. Its direction is not known; lamps closer together would show whether it is bent.',
    ],
    [
      reason('dim', { share: 0.71, pointing: 'where it should' }),
      'It passes 71 % of its neighbours’ light and looks where it should: dirt, a crushed end, or a bow in a tube with matte walls.',
    ],
    [
      reason('may-leak-into', { share: 0.81, tube: at(2, 3), to: at(2, 4), toExcess: 0.17 }),
      'It passes 81 % of its neighbours’ light, and its neighbour at row 2, column 4 has 17 % too much. It may leak into that one; a single shot of row 2, column 3 would show it.',
    ],
    [
      reason('responds-as-bowed', { share: null, bowMm: 1.52, directionDeg: 180 }),
      'Its response to the lamps is that of a tube bowed by about 1.5 mm, with its middle too far left; no straight tube fits it.',
    ],
  ])('%j', (one, sentence) => {
    expect(plain(reasonsText([one]))).toBe(sentence);
  });

  // Widths and losses of 3 % and less lie within healthy tubes' own differences.
  test.each([
    [
      { share: 0.88, widthRatio: 1.12, ownShape: false },
      'sees 1.12 times as wide, passes 88 % of their light',
    ],
    [{ share: null, widthRatio: 1.12, ownShape: false }, 'sees 1.12 times as wide'],
    [{ share: 0.99, widthRatio: 1.01, ownShape: true }, 'has a skewed or flat-topped response'],
    [{ share: 0.99, widthRatio: 1.01, ownShape: false }, 'has a slightly different response'],
  ])('bent: %j', (seen, told) => {
    expect(plain(reasonsText([reason('aside-and-changed', { ...ASIDE, bowMm: 0.8, ...seen })]))).toBe(
      `It looks 0.50° too far right and up compared with its neighbours, ${told}: bowed by about 0.8 mm.`,
    );
  });

  test.each<[Reason, string]>([
    [
      reason('shape-changed', { share: 0.71, bowMm: null }),
      'It passes 71 % of its neighbours’ light and looks where it should, but its response has another shape: bowed, or something lies across its bore.',
    ],
    [
      reason('looks-aside', { acrossDeg: 0.5, upDeg: 0.1, totalDeg: 0.51, shiftMm: 1.31, bowMm: 0.9 }),
      'It looks 0.51° too far right compared with its neighbours; its width and light are normal. Its front end is 1.3 mm off its place. It may also be bowed by about 0.9 mm; lamps closer together would show which.',
    ],
    [
      reason('not-lit-by-sweep', { share: 0.97, gap: 'past the rim' }),
      'It passes 97 % of its neighbours’ light, but it looks past the rim of the sweep, while its neighbours are lit: it looks far aside, bent or misaimed. A wider sweep would show which.',
    ],
    [
      reason('not-lit-by-sweep', { share: 0.97, gap: 'dark' }),
      'It passes 97 % of its neighbours’ light, but no lamp of the sweep lights it, while its neighbours are lit: it looks far aside, bent or misaimed. A wider sweep would show which.',
    ],
  ])('%j', (one, sentence) => {
    expect(plain(reasonsText([one]))).toBe(sentence);
  });
});
