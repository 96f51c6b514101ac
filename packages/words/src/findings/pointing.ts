import { counted, listed } from '../quantity.js';
import { degrees, percent, type WordsOf } from './words-of.js';

export const POINTING_WORDS: WordsOf<'pointing'> = {
  'cell-screen': () =>
    'A screen of short cells behind a lens: each cell averages its part of the picture that the lens throws on it. How fine it ' +
    'sees depends on the lens and on the size of the cells; where cells point, how wide they see and how far two lamps stay separate do not apply.',
  'lamps-too-few': ({ lamps, needed }) =>
    `Pointing needs lamp shots from at least ${needed} places; this session has ${lamps}.`,
  'lamps-light-too-few-tubes': ({ lamps }) =>
    `Hardly any tube is clearly lit by three or more of the ${lamps} lamps. Put the lamp places closer together, or use a longer exposure.`,
  'could-be-turned': () =>
    'No shot tells which way up the photos are: if the camera or the array stood on its head, row 1 is the last one and ' +
    'column 1 too. To tell, cover the tube at the top left, seen from behind, for one more even photo: it must be row 1, column 1 that goes dark. ' +
    'Three or more lamp shots tell as well.',
  'lamp-images-unclear': ({ photos }) =>
    `${listed(photos)} ${photos.length === 1 ? 'shows' : 'show'} no clear image of one lamp, so whether the stated ` +
    `${photos.length === 1 ? 'place is' : 'places are'} right was not checked. Check that ${photos.length === 1 ? 'it is the right photo' : 'they are the right photos'}.`,
  'lamps-far-apart': ({ spacingDeg, widthDeg }) => {
    const width =
      widthDeg === null ? '' : `, and a tube sees ${degrees(widthDeg)} wide in the light of lamps this near`;
    return `Neighbouring lamp places are ${degrees(spacingDeg)} apart${width}. Closer places would light more tubes with several lamps.`;
  },
  'tubes-not-pointed': ({ tubes, dark, fewLamps, rim, ambiguous }) => {
    const reasons = [
      { count: dark, words: 'not lit by any lamp' },
      { count: fewLamps, words: 'lit by too few lamps' },
      { count: rim, words: 'looking past or at the rim of the sweep' },
      { count: ambiguous, words: 'with light that fits more than one direction' },
    ].filter(({ count }) => count > 0);
    const list = listed(reasons.map(({ count, words }) => `${count} ${words}`));
    return `The direction of ${counted(tubes, 'tube')} could not be measured: ${list}.`;
  },
  'sweep-partial': ({ lamps, uncertaintyDeg, fullSweep, fullUncertaintyDeg }) =>
    `With ${counted(lamps, 'lamp place')} a direction has a standard uncertainty of ${degrees(uncertaintyDeg)}. ` +
    `With ${fullSweep} places over the same field it would be about ${degrees(fullUncertaintyDeg)}.`,
  'lamp-diameter-not-stated': ({ widthShare }) =>
    'The lamp diameter is not stated, which makes acceptance widths uncertain by ' +
    `${percent(widthShare)}. Add lamp-diameter to the session: the width of the part that shines.`,
};
