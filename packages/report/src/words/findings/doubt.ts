import { plusMinus } from '../quantity.js';
import { metres, type WordsOf } from './words-of.js';

export const DOUBT_WORDS: WordsOf<'doubt'> = {
  'doubt-pair-distance': ({ statedM, seenCells, seenUncertaintyCells, fittingM }, photo) => {
    const fits = fittingM === null ? 'which fits no distance' : `which fits ${metres(fittingM)}`;
    return (
      `${photo}: the session states a distance of ${metres(statedM)}, but the lamps’ images are ` +
      `${plusMinus(seenCells, seenUncertaintyCells)} cells apart, ${fits}. Measure it again; this shot was left out of ` +
      'the resolving distance.'
    );
  },
};
