import { counted, decimal, listed, significant } from '../quantity.js';
import { degrees, listedPlaces, percent, placesWords, type WordsOf } from './words-of.js';

/** Places that are named one by one. */
const NAMED = 8;

function namedPhotos(photos: readonly string[]): string {
  const more = photos.length > NAMED ? [`${photos.length - NAMED} more`] : [];
  return listed([...photos.slice(0, NAMED), ...more]);
}

export const PHOTOS_WORDS: WordsOf<'photos'> = {
  'no-dark': () =>
    'There is no dark shot: stray light is estimated from the light between and around the cells of each photo.',
  'shows-no-light': (_, photo) =>
    `${photo} shows no light, as it should: the tubes that look at its lamps are blocked. It was left out.`,
  'holes-alone-lit': (_, photo) =>
    `${photo} shows light through holes without a tube, and none through tubes. It was left out: no lamp is needed there.`,
  'stray-light-strong': ({ share }, photo) =>
    `According to ${photo}, ${percent(share)} of the light in the spots of the even shot is stray light. It is taken off, but the rest, ` +
    'the tubes’ own light, is noisy. Darken the room, or bring the even light nearer.',
  'even-clipped': ({ clipped, first }, photo) => {
    const where = placesWords(first, clipped);
    return `${photo} is clipped in ${counted(clipped, 'cell')} (${where}): they pass at least as much light as is given here.`;
  },
  'even-lit-unlike': ({ against, scatter }, photo) =>
    `${photo} and ${against} are both even shots, but the light of the tubes differs by ${percent(scatter)} from one to the other. ` +
    'Either one of them shows something else, or the light was moved in between. If it was moved, leave one of them out.',
  'even-too-smooth': ({ against, iso, seenShare, leastShare }, photo) =>
    `${photo} and ${against} are too smooth for their light: their noise is ${percent(seenShare)}, but at ISO ${iso} even the ` +
    `largest sensors have ${percent(leastShare)}. The phone merged frames or smoothed the noise away, which may change the light of ` +
    'single tubes. Turn HDR, night mode and noise reduction off, or export raw photos without them.',
  'repeats-disagree': ({ against, isOdd, disagreeing, first }, photo) => {
    const so = isOdd
      ? 'Its other repeats agree, so these cells are measured by them.'
      : 'Which of the two is right can’t be told, so these cells are uncertain by that much.';
    return (
      `${photo} and ${against} are repeats, but disagree in ${counted(disagreeing, 'cell')} ` +
      `(${placesWords(first, disagreeing)}). ${so} The file may be damaged, or the light changed: copy it again, or leave it out.`
    );
  },
  'bare-clipped': ({ photo }) => `${photo} is clipped where the cells lie, and was left out.`,
  'exposures-unknown': () =>
    'Exposure times are not known for all photos, so their brightness cannot be compared. State them in the session.',
  'exposure-missing': ({ photos }) =>
    `${namedPhotos(photos)} ${photos.length === 1 ? 'doesn’t' : 'don’t'} say how long the exposure was: left out of all that compares ` +
    'brightness from photo to photo. State the exposure on the shot.',
  'dark-exposure-missing': ({ photos }) =>
    `${namedPhotos(photos)} ${photos.length === 1 ? 'doesn’t' : 'don’t'} say how long the exposure was: stray light is taken off all ` +
    'photos as if they were exposed as long. State the exposure on the dark shot.',
  'exposure-taken': ({ photos, exposureS }) =>
    `${namedPhotos(photos)} ${photos.length === 1 ? 'doesn’t' : 'don’t'} say how long the exposure was: ${significant(exposureS, 3)} s is taken, ` +
    'as in all other photos of the kind. If that is wrong, state the exposure on the shot.',
  'camera-moved': ({ movedPx, movedPitches, arrayTurnedDeg, arrayMirrored }, photo) => {
    const how = [
      ...(arrayMirrored ? ['mirrored'] : []),
      ...(arrayTurnedDeg === null || arrayTurnedDeg === 0 ? [] : [`turned by ${arrayTurnedDeg}°`]),
    ];
    const shows =
      how.length === 0
        ? `the picture had moved by ${decimal(movedPx, 0)} pixels (${decimal(movedPitches, 2)} of a pitch)`
        : `the array shows ${listed(how)} there`;
    return `${photo} was taken from another place: ${shows}. The shots listed after it are measured from there, tube by tube as before.`;
  },
  'light-beside-map': ({ places, unfilled }, photo) => {
    const named = places.slice(0, NAMED).map(({ row, column }) => `row ${row}, column ${column}`);
    const where = listedPlaces(named, places.length);
    const holes = unfilled > 0 ? ' If tubes were added there, write # for them in the map.' : '';
    return `${photo} shows light where the map has no tube (${where}): it is left out of all figures.${holes}`;
  },
  'packing-order': ({ foundTubes, statedTubes, breaks, slips, gaps }) =>
    `${foundTubes} packed tubes were found (stated: ${statedTubes}). A dark tube at the rim cannot be told from no tube. ` +
    (breaks + slips + gaps === 0
      ? 'All lie in hexagonal order.'
      : `Out of hexagonal order: ${counted(breaks, 'tube')} at breaks, ${counted(slips, 'slip')}, ${counted(gaps, 'gap')}.`),
  'photo-turned': ({ turnedDeg }) =>
    `As the lamp shots show, the array is turned by ${degrees(Math.abs(turnedDeg))} ` +
    `${turnedDeg > 0 ? 'counter-clockwise' : 'clockwise'} in the photos. Places and pointing are given as if the camera had stood upright.`,
  'camera-response-misfit': ({ series, residualStops }) =>
    `The exposure series of ${series} shots does not fit one camera response: it is off by ` +
    `${decimal(residualStops, 2)} stops. Something moved, the light changed, or an exposure is not as stated. ` +
    'All figures rest on that response.',
};
