import { z } from 'zod';
import { choice, count, type FindingTable, number, part, photo, places, text, yesNo } from './define.js';

/** What the photos as photos left open: exposure, clipping, stray light. */
export const PHOTOS = {
  'no-dark': {
    about: part('photos'),
    meaning: 'no dark shot: stray light is estimated from the background of each photo',
    values: {},
  },
  'shows-no-light': {
    about: photo,
    meaning:
      'a lamp, pair or single shot without light; the tubes that it lights pass next to none, so it was left out',
    values: {},
  },
  'holes-alone-lit': {
    about: photo,
    meaning: 'all light of a photo comes through holes without a tube, so it was left out',
    values: {},
  },
  'stray-light-strong': {
    about: photo,
    meaning:
      'a dark shot holds most of the light that the even shot has in its spots; what the tubes add is little beside it',
    values: { share: number('stray light at the even shot’s exposure over all light of its spots') },
  },
  'even-clipped': {
    about: photo,
    meaning: 'some cells of an even shot are clipped: their light is a lower bound',
    values: {
      clipped: count('cells that are clipped'),
      first: places('the first of them, in reading order'),
    },
  },
  'even-lit-unlike': {
    about: photo,
    meaning:
      'the light of two even shots differs from tube to tube: one is another shot, or the light was moved',
    values: {
      against: text('photo of the first even shot'),
      scatter: number('scatter of the ratio of the tubes’ light, relative'),
    },
  },
  'even-too-smooth': {
    about: photo,
    meaning:
      'two even shots differ by less than the photon noise of their light: the camera merged frames or smoothed noise away',
    values: {
      against: text('photo that it is held against'),
      iso: number('its ISO'),
      seenShare: number('noise of a pixel of the reduced picture, share of its light'),
      leastShare: number('photon noise of that light on the largest sensors, share of it'),
    },
  },
  'repeats-disagree': {
    about: photo,
    meaning:
      'a repeat of a shot disagrees with the others in some cells: their light is uncertain by as much',
    values: {
      against: text('photo that it is held against'),
      isOdd: yesNo('whether the others agree among themselves, so that this one must be the odd one'),
      disagreeing: count('cells in which they disagree'),
      first: places('the first of them, in reading order'),
    },
  },
  'bare-clipped': {
    about: part('transmission.absolute'),
    meaning: 'a bare shot is clipped where the cells lie, and was left out',
    values: { photo: text('the shot') },
  },
  'exposures-unknown': {
    about: part('transmission.absolute', 'pointing'),
    meaning: 'exposure times are not known for all photos, so this cannot be measured',
    values: {},
  },
  'exposure-missing': {
    about: part('photos'),
    meaning: 'some photos don’t say how they were exposed; figures that compare brightness leave them out',
    values: { photos: z.array(z.string()).min(1).describe('which') },
  },
  'dark-exposure-missing': {
    about: part('photos'),
    meaning:
      'some dark shots don’t say how they were exposed; their light is taken off other photos as it is, whatever the exposures',
    values: { photos: z.array(z.string()).min(1).describe('which') },
  },
  'exposure-taken': {
    about: part('photos'),
    meaning:
      'some photos don’t say how they were exposed, and got the exposure that all others of their kind have',
    values: {
      photos: z.array(z.string()).min(1).describe('which'),
      exposureS: number('that exposure'),
    },
  },
  'camera-moved': {
    about: photo,
    meaning:
      'an even shot was taken from elsewhere than the one before; the shots listed after it are measured from there',
    values: {
      movedPx: number('how far the picture had moved'),
      movedPitches: number('the same in pitches of the cells'),
      turnedPitches: number('how far some cell lies from where a mere shift would put it, pitches'),
      arrayTurnedDeg: number(
        'how the array shows against the first even shot, clockwise after mirroring; told by its tubes’ light',
      ).nullable(),
      arrayMirrored: yesNo('whether it shows mirrored left to right'),
    },
  },
  'light-beside-map': {
    about: photo,
    meaning: 'light of tubes where the map of the array has none; it was left out of all figures',
    values: {
      places: z
        .array(z.strictObject({ row: z.int(), column: z.int() }))
        .describe('where; a row or column may lie outside the map'),
      unfilled: count('of these, holes that the map gives as without a tube'),
    },
  },
  'packing-order': {
    about: part('photos'),
    meaning: 'packed tubes were found without rows; how well they lie in hexagonal order',
    values: {
      foundTubes: count('tubes found, dark ones between others included'),
      statedTubes: count('tubes as stated'),
      breaks: count('tubes inside with more or fewer than six neighbours'),
      slips: count('squares of four tubes, where a row has slid past the next'),
      gaps: count('pairs of neighbours that stand apart'),
    },
  },
  'photo-turned': {
    about: part('pointing'),
    meaning: 'by the lamp shots the photo shows a packed array turned; places and pointing were turned back',
    values: { turnedDeg: number('counter-clockwise') },
  },
  'camera-response-misfit': {
    about: part('photos'),
    meaning: 'the exposure series does not fit one camera response well; all figures rest on that response',
    values: {
      series: choice('kind of the shots of the series', ['even', 'bare']),
      residualStops: number('root mean square misfit, f-stops'),
    },
  },
} as const satisfies FindingTable;
