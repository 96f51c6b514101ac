import { counted, partPercent } from '../quantity.js';
import { metres, type WordsOf } from './words-of.js';

const ASSUMED = {
  'the stated wall': 'It is taken from the stated wall.',
  'absolute transmission': 'It is taken from the light that the tubes pass.',
  'black walls':
    'It is taken from the dimensions with walls that reflect nothing; tubes with glossier walls blur more.',
};

export const PREVIEW_WORDS: WordsOf<'preview'> = {
  'no-light': () => 'By their absolute transmission the tubes pass no light, so no exposure is given.',
  'pointing-assumed': () =>
    'Where the tubes look was not measured (no lamp sweep). The stated dimensions are used, so bent and misaimed tubes do not show.',
  'pointing-sparse': ({ known, tubes }) =>
    `Pointing was measured for ${known} of ${tubes} tubes, too few for a field. The other tubes follow the stated dimensions.`,
  'pointing-filled-in': ({ unknown, tubes }) =>
    `Pointing was not measured for ${unknown} of ${tubes} tubes. They are taken to look as the tubes around them do.`,
  'acceptance-assumed': ({ from }) =>
    `How wide the tubes see was not measured (no lamp sweep). ${ASSUMED[from]}`,
  'light-filled-in': ({ unknown, tubes }) =>
    `The light of ${unknown} of ${tubes} tubes is not known. They are taken to be typical.`,
  'crosstalk-left-out': () =>
    'Crosstalk, light that leaks from tube to tube, was not measured (no single shots), so the picture has none.',
  'crosstalk-too-strong': () =>
    'Crosstalk is so strong that it could not be separated fully from the light that the tubes pass.',
  'nothing-to-pull': () => 'The pull list is empty: the repaired array is the array as measured.',
  'field-of-view': ({ widthM, heightM }) =>
    `At the scene’s distance the tubes look at a field of ${metres(widthM)} × ${metres(heightM)}.`,
  'tubes-look-past-scene': ({ beside, tubes }) =>
    `${beside} of ${counted(tubes, 'tube')} look mostly past the edges of the photo, where the preview is dark. They do not count in the similarity.`,
  'scene-clipped': ({ share }) =>
    `${partPercent(share)} of the scene’s pixels are clipped: lights there are brighter than the photo shows.`,
  'array-too-small-to-compare': ({ needed }) =>
    `A similarity needs at least ${needed} rows and ${needed} columns.`,
  'scene-too-small-to-compare': () => 'Too few tubes look at the scene: it is too small, or too far away.',
  'exposures-contradict': () =>
    'The tubes seem to pass more light than falls on them: the exposures of the bare and the even shots do not agree.',
  'exposure-predicted': () =>
    'Absolute transmission was not measured (no bare shot). The exposure is predicted from the tubes’ width and wall.',
  'reciprocity-left-out': () =>
    'The exposure is scaled by f-numbers alone. Paper and film lose sensitivity in long exposures (reciprocity failure), ' +
    'so it takes longer than that; slow processes do not scale exactly either. Try it on a test strip first.',
};
