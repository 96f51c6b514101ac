import type { SeenAs } from '@twolamp/session';
import { counted, lengthM, plusMinus, trimmed } from '../quantity.js';
import { metres, type WordsOf } from './words-of.js';

const SHOTS = { lamp: 'lamp shots', pair: 'pair shots', both: 'lamp and pair shots' } as const;

/** Each length in a sentence: what states it, and whether that is several. */
const LENGTHS = {
  'tube-length': { name: 'tube-length', several: false },
  'back-pitch': { name: 'back-pitch', several: false },
  'front-pitch': { name: 'front-pitch', several: false },
  'both pitches': { name: 'back-pitch and front-pitch', several: true },
  distance: { name: 'the distances of the lamp and pair shots', several: true },
  'lamp distance': { name: 'the distances of the lamp shots', several: true },
  'pair distance': { name: 'the distances of the pair shots', several: true },
  spacing: { name: 'the spacings of the pair shots', several: true },
  'lamp place': { name: 'across and up of the lamp shots', several: true },
  'lamp across': { name: 'across of the lamp shots', several: true },
  'lamp up': { name: 'up of the lamp shots', several: true },
  'lamp place and distance': { name: 'across, up and distance of the lamp shots', several: true },
} as const;

/** What a factor means where units were taken for each other; the units as they should have been written. */
const UNITS: readonly (readonly [factor: number, words: string])[] = [
  [10, 'as if cm had been meant where mm stands, or a digit is missing'],
  [0.1, 'as if mm had been meant where cm stands, or there is a digit too many'],
  [1 / 0.3048, 'as if m had been meant where ft stands'],
  [0.3048, 'as if ft had been meant where m stands'],
  [25.4, 'as if in had been meant where mm stands'],
  [1 / 25.4, 'as if mm had been meant where in stands'],
  [2.54, 'as if in had been meant where cm stands'],
  [1 / 2.54, 'as if cm had been meant where in stands'],
  [1000, 'as if m had been meant where mm stands'],
  [0.001, 'as if mm had been meant where m stands'],
  [100, 'as if m had been meant where cm stands'],
  [0.01, 'as if cm had been meant where m stands'],
  [12, 'as if ft had been meant where in stands'],
  [1 / 12, 'as if in had been meant where ft stands'],
  [2, 'as if half the length had been measured'],
  [0.5, 'as if twice the length had been measured'],
];

function unitWords(factor: number): string {
  const found = UNITS.find(([one]) => Math.abs(Math.log(factor / one)) < 1e-6);
  return found ? `, ${found[1]}` : '';
}

const mm = (value: number) => lengthM(value / 1000);

/** “front-pitch: 4.8 mm is stated, but the photos fit 3.81 mm” with what follows. */
function lengthWords(
  length: keyof typeof LENGTHS,
  statedMm: number | null,
  fittingMm: number | null,
  fittingFactor: number,
  uncertainty: number | null,
): string {
  const { name, several } = LENGTHS[length];
  if (!several && statedMm !== null && fittingMm !== null) {
    const fits = uncertainty === null ? mm(fittingMm) : plusMinus(fittingMm, uncertainty * fittingMm, 'mm');
    return `${name}: ${mm(statedMm)} is stated, but the photos fit ${fits}`;
  }
  const times =
    uncertainty === null ? trimmed(fittingFactor) : plusMinus(fittingFactor, uncertainty * fittingFactor);
  const first =
    statedMm === null || fittingMm === null
      ? ''
      : ` (${mm(fittingMm)} in place of ${mm(statedMm)} in the first)`;
  return `The photos fit ${name} times ${times}${first}`;
}

const SIGNS = { across: 'across', up: 'up', both: 'across and up' } as const;
const ORDERS = {
  reversed: 'in reversed order',
  serpentine: 'with every second row walked the other way',
  'by columns': 'walked along the other direction of the grid',
} as const;

const SEEN_AS: Record<SeenAs, string> = {
  'all alike': 'all its pixels are alike, which no camera gives',
  noise: 'it shows only noise',
  'tubes lit': 'tubes are lit in it',
  bright: 'it is as bright as the lit shots',
  'nothing lit': 'nothing is lit in it',
  'no spots': 'its light does not come from the tubes',
  'a pattern of spots': 'it shows the tubes',
  'darker than the stray light':
    'all other photos have stray light between the tubes, and this one has less of it for its exposure',
  'not smooth': 'it shows something else than an evenly lit sheet',
  'not even': 'the tubes are not lit as in the first even shot',
  'darker than its background': 'tubes are darker in it than the gaps between them',
  'evenly lit': 'all tubes are lit alike',
  'other tubes lit': 'most of its light comes from other tubes than the one that is stated',
};

const withArticle = (kind: string) => `${kind === 'even' ? 'an' : 'a'} ${kind}`;

export const DOUBT_WORDS: WordsOf<'doubt'> = {
  'doubt-photo-kind': ({ statedKind, seenAs, seenAgainst, fittingKind }, photo) => {
    const looksLike = fittingKind === null ? '' : ` It looks like ${withArticle(fittingKind)} shot.`;
    const orFirst =
      seenAgainst === null
        ? ''
        : ` If ${seenAgainst} is the wrong one of the two, take that out of the session: all figures rest on it.`;
    return (
      `${photo} is stated as ${withArticle(statedKind)} shot, but ${SEEN_AS[seenAs]}.${looksLike} It was left out.` +
      orFirst
    );
  },
  'doubt-pair-distance': ({ statedM, seenCells, seenUncertaintyCells, fittingM }, photo) => {
    const fits = fittingM === null ? 'which fits no distance' : `which fits ${metres(fittingM)}`;
    return (
      `${photo}: the session states a distance of ${metres(statedM)}, but the lamps’ images are ` +
      `${plusMinus(seenCells, seenUncertaintyCells)} cells apart, ${fits}. Measure it again; this shot was left out of ` +
      'the resolving distance.'
    );
  },
  'doubt-bore': ({ statedMm, seenMm, seenUncertaintyMm }) =>
    `tube-bore: ${mm(statedMm)} is stated, but the spots in the even shot are ${plusMinus(seenMm, seenUncertaintyMm, 'mm')} wide. ` +
    'How much light a tube passes of what falls on its bore, and how reflective its wall is, rest on it.',
  'doubt-mirrored': ({ fittingKinds, fittingAxis }) =>
    `The images in the ${SHOTS[fittingKinds]} move opposite to their stated places: ${SIGNS[fittingAxis]} ` +
    `${fittingAxis === 'both' ? 'have' : 'has'} the wrong sign in all of them, or the photos are ` +
    `${fittingAxis === 'both' ? 'turned by 180°' : 'mirrored'}. Seen from the back, across grows to the right and up upwards.`,
  'doubt-axes-exchanged': ({ fittingKinds, fittingAcross, fittingUp }) =>
    `In the ${SHOTS[fittingKinds]}, across and up seem to be exchanged (across fits ${minus(fittingAcross)}, up fits ` +
    `${minus(fittingUp)}), or the camera was turned by a quarter.`,
  'doubt-pairs-turned': ({ statedDeg, fittingDeg }) =>
    `turned: ${trimmed(statedDeg)}° is stated of the pairs, but their images fit ${trimmed(fittingDeg)}°.`,
  'doubt-unit': ({ length, statedMm, fittingMm, fittingFactor }) =>
    `${lengthWords(length, statedMm, fittingMm, fittingFactor, null)}${unitWords(fittingFactor)}.`,
  'doubt-length': ({ length, statedMm, fittingMm, fittingFactor, fittingUncertainty }) =>
    `${lengthWords(length, statedMm, fittingMm, fittingFactor, fittingUncertainty)}.`,
  'doubt-from-sheet': ({ fittingKinds, fittingOffsetMm }) =>
    `The distances of the ${SHOTS[fittingKinds]} fit as if measured from the sheet: from the front face they would be ` +
    `${mm(-fittingOffsetMm)} shorter.`,
  'doubt-distance-offset': ({ fittingKinds, fittingOffsetMm, fittingUncertaintyMm }) =>
    `The distances of the ${SHOTS[fittingKinds]} would fit if each were ` +
    `${plusMinus(Math.abs(fittingOffsetMm), fittingUncertaintyMm, 'mm')} ${fittingOffsetMm < 0 ? 'shorter' : 'longer'}. ` +
    'They count from the front face.',
  'doubt-labels-shifted': ({ kind, statedFrom, fittingShift }) =>
    `From ${statedFrom} on, each of the ${SHOTS[kind]} fits what is stated of ${fittingShift}: the list has a photo too few ` +
    'or too many.',
  'doubt-order': ({ kind, fittingOrder }) =>
    `The ${SHOTS[kind]} would fit ${ORDERS[fittingOrder]}: photos and stated places are not listed in the same order.`,
  'doubt-labels-swapped': ({ statedFirst, statedSecond }) =>
    `${statedFirst} and ${statedSecond} each fit what is stated of the other: swap their places in the session. Both were ` +
    'left out.',
  'doubt-number': ({ photo, shots, field, statedMm, fittingMm, fittingUncertaintyMm }) =>
    `${photo}: ${field} ${mm(statedMm)} is stated${shots > 1 ? ` (in ${counted(shots, 'shot')})` : ''}, but the photo fits ` +
    `${fitted(fittingMm, fittingUncertaintyMm)}. Left out.`,
  'doubt-exposure': ({ fittingFactor, fittingUncertainty }, photo) =>
    `${photo}: its light fits an exposure of ${plusMinus(fittingFactor, fittingUncertainty * fittingFactor)} times the ` +
    'stated one. Left out.',
  'doubt-photo': (_, photo) =>
    `${photo}: its light doesn’t lie where the stated lamps’ images would be, and no one number explains it. Left out.`,
  'doubt-alternative': ({ length, statedMm, fittingMm, fittingFactor }) =>
    `Nearly as well: ${lowered(lengthWords(length, statedMm, fittingMm, fittingFactor, null))}.`,
  'doubt-unexplained': ({ seenShots, statedShots }) =>
    `${seenShots} of ${counted(statedShots, 'lamp and pair shot')} don’t fit their stated places, and no single change of ` +
    'the session explains it.',
};

const minus = (axis: string) => axis.replace('-', 'minus ');
const lowered = (text: string) => text.replace(/^The /, 'the ');

/** Millimetres below a metre, with what the uncertainty justifies. */
function fitted(valueMm: number, uncertaintyMm: number): string {
  return Math.abs(valueMm) < 1000
    ? plusMinus(valueMm, uncertaintyMm, 'mm')
    : plusMinus(valueMm / 1000, uncertaintyMm / 1000, 'm');
}
