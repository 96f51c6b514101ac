import { percent, type WordsOf } from './words-of.js';

export const TRANSMISSION_WORDS: WordsOf<'transmission'> = {
  'no-bare': () => 'There is no bare shot.',
  'bare-misfit': ({ typical, uncertainty }) =>
    `By the bare shot a tube would pass ${percent(typical)} ± ${percent(uncertainty)} of the light, which cannot be. Check ` +
    'that the bare shot shows the sheet alone in the same light, and its exposure.',
  'sheet-non-uniform': ({ scatter }) =>
    `The sheet itself varies by about ${percent(scatter)} from cell to cell, and this cannot be separated from the ` +
    'tubes’ light. A bare shot would remove it.',
};
