import { type AnyFinding, finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { COMPARE_WORDS } from './compare.js';
import { CROSSTALK_WORDS } from './crosstalk.js';
import { DOUBT_WORDS } from './doubt.js';
import { FAULTS_WORDS } from './faults.js';
import { findingSentence } from './index.js';
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

describe.each<[string, readonly (readonly [AnyFinding, string])[]]>([
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
          turnedPitches: 0,
          arrayTurnedDeg: null,
          arrayMirrored: false,
        }),
        'even-2.jpg was taken from another place: the picture had moved by 44 pixels (1.28 of a pitch). The shots listed after it are measured from there, tube by tube as before.',
      ],
      [
        finding('camera-moved', 'even-2.jpg', {
          movedPx: 0,
          movedPitches: 0,
          turnedPitches: 0,
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
        finding('pointing-sparse', 'pointing', { known: 12, tubes: 600 }),
        'Pointing was measured for 12 of 600 tubes, too few for a field. The other tubes follow the stated dimensions.',
      ],
      [
        finding('acceptance-assumed', 'acceptance', { from: 'black walls' }),
        'How wide the tubes see was not measured (no lamp sweep). It is taken from the dimensions with walls that reflect nothing; tubes with glossier walls blur more.',
      ],
      [
        finding('field-of-view', 'scene', { widthM: 1.204, heightM: 0.903 }),
        'At the scene’s distance the tubes look at a field of 1.20 m × 0.90 m.',
      ],
      [
        finding('tubes-look-past-scene', 'scene', { beside: 31, tubes: 600 }),
        '31 of 600 tubes look mostly past the edges of the photo, where the preview is dark. They do not count in the similarity.',
      ],
      [
        finding('scene-clipped', 'scene', { share: 0.012 }),
        '1.2 % of the scene’s pixels are clipped: lights there are brighter than the photo shows.',
      ],
    ],
  ],
])('%s', (_, sentences) => {
  test.each(sentences)('%j', (one, sentence) => {
    expect(plain(findingSentence(one))).toBe(sentence);
  });
});
