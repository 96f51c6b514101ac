import { counted } from '../quantity.js';
import { percent, placesWords, type WordsOf } from './words-of.js';

export const TRANSMISSION_WORDS: WordsOf<'transmission'> = {
  'no-bare': () => 'There is no bare shot.',
  'bare-misfit': ({ photo, typical, uncertainty }) =>
    `According to ${photo ?? 'the bare shot'} a tube would pass ${percent(typical)} ± ${percent(uncertainty)} of the light, which cannot be. Check ` +
    'its exposure, and that it shows the sheet alone in the same light.',
  'light-negative': ({ negative, lowest, first }) => {
    const where = placesWords(first, negative);
    return (
      `${counted(negative, 'cell')} (${where}) ${negative === 1 ? 'is' : 'are'} darker than the background around ` +
      `${negative === 1 ? 'it' : 'them'}, down to ${percent(lowest)} of a typical tube’s light, which cannot be. ` +
      'Something lights the gaps between the tubes, or the photo is damaged.'
    );
  },
  'light-scattered': ({ scatter }) =>
    `Tubes without a fault differ by ${percent(scatter)} among themselves: too much to say how much light a tube passes.`,
  'sheet-non-uniform': ({ scatter }) =>
    `The sheet itself varies by about ${percent(scatter)} from cell to cell, and this cannot be separated from the ` +
    'tubes’ light. A bare shot would remove it.',
};
