import { placeWords, type WordsOf } from './words-of.js';

export const CROSSTALK_WORDS: WordsOf<'crosstalk'> = {
  'no-single': () =>
    'There are no single shots: light that leaks from tube to tube cannot be separated from the tubes’ own view.',
  'single-not-lit': ({ photo, tube }) =>
    `${photo}: the tube at ${placeWords(tube)} is not the one that is lit, or it gives too little light.`,
};
