import type { SeenAs } from '@twolamp/session';
import { plusMinus } from '../quantity.js';
import { metres, type WordsOf } from './words-of.js';

const SEEN_AS: Record<SeenAs, string> = {
  'all alike': 'all its pixels are alike, as in no photo',
  noise: 'it is noise',
  'tubes lit': 'tubes are lit in it',
  bright: 'it is as bright as the lit shots',
  'nothing lit': 'nothing is lit in it',
  'no spots': 'its light does not come from the tubes',
  'a pattern of spots': 'it shows the tubes',
  'not smooth': 'it shows something else than an evenly lit sheet',
  'not even': 'the tubes are not lit as in the first even shot',
  'darker than its background': 'tubes are darker in it than the gaps between them',
  'evenly lit': 'all tubes are lit alike',
  'other tubes lit': 'most of its light comes from other tubes than the one that is stated',
};

const withArticle = (kind: string) => `${kind === 'even' ? 'an' : 'a'} ${kind}`;

export const DOUBT_WORDS: WordsOf<'doubt'> = {
  'doubt-photo-kind': ({ statedKind, seenAs, fittingKind }, photo) => {
    const looksLike = fittingKind === null ? '' : ` It looks like ${withArticle(fittingKind)} shot.`;
    return `${photo} is stated as ${withArticle(statedKind)} shot, but ${SEEN_AS[seenAs]}.${looksLike} It was left out.`;
  },
  'doubt-pair-distance': ({ statedM, seenCells, seenUncertaintyCells, fittingM }, photo) => {
    const fits = fittingM === null ? 'which fits no distance' : `which fits ${metres(fittingM)}`;
    return (
      `${photo}: the session states a distance of ${metres(statedM)}, but the lamps’ images are ` +
      `${plusMinus(seenCells, seenUncertaintyCells)} cells apart, ${fits}. Measure it again; this shot was left out of ` +
      'the resolving distance.'
    );
  },
};
