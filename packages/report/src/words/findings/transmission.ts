import { percent, type WordsOf } from './words-of.js';

export const TRANSMISSION_WORDS: WordsOf<'transmission'> = {
  'no-bare': () => 'There is no bare shot.',
  'sheet-non-uniform': ({ scatter }) =>
    `The sheet itself varies by about ${percent(scatter)} from cell to cell, and this cannot be separated from the ` +
    'tubes’ light. A bare shot would remove it.',
};
