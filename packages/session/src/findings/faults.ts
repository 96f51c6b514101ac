import { choice, count, type FindingTable, number, part, place, type ReasonTable, yesNo } from './define.js';

/** Faults of tubes and the pull list, as a whole. */
export const FAULTS_FOUND = {
  'bends-not-seen': {
    about: part('faults'),
    meaning: 'without a lamp sweep, bent and misaimed tubes show as weak at most',
    values: {},
  },
  'leaks-not-tested': {
    about: part('faults'),
    meaning: 'no tube was lit alone, so no leak can be shown',
    values: {
      suspectedFrom: number('share of a tube’s light from which a leak can be suspected').nullable(),
    },
  },
  'pull-gain': {
    about: part('pull'),
    meaning: 'what replacing all tubes of the pull list would bring in light where it belongs',
    values: {
      tubes: count('tubes on the list'),
      gain: number('share of the array’s light'),
      gainUncertainty: number('its standard uncertainty'),
    },
  },
  'pull-dip': {
    about: part('pull'),
    meaning: 'how replacing all tubes of the pull list would change the mean dip of two lamps',
    values: {
      spacingMm: number('distance between the lamps'),
      distanceM: number('from the front face to the lamps'),
      meanDip: number('mean over the array, as it is'),
      dipGain: number('change of that'),
      dipGainUncertainty: number('its standard uncertainty'),
    },
  },
} as const satisfies FindingTable;

const share = number('light of the tube, 1 = as much as the tubes around it');
const bowMm = number('how far the middle of the tube stands out');
const aside = {
  acrossDeg: number('how far it looks to the right of the field of its neighbours'),
  upDeg: number('how far it looks above it'),
  totalDeg: number('both together'),
};

/** Why a tube counts as faulty; directions as seen from the back. */
export const REASONS = {
  'hardly-any-light': {
    meaning: 'blocked: it passes practically no light',
    values: { share, lit: yesNo('whether its light leaks in from a neighbour') },
  },
  open: { meaning: 'open: it passes clearly more light than a tube does', values: { share } },
  'leaks-into': {
    meaning: 'leaky: lit alone, much of its light comes out at another tube',
    values: {
      to: place('the tube that gets most of it'),
      toShare: number('share of its light that this one gets'),
      total: number('share of its light that comes out elsewhere in all'),
    },
  },
  dim: {
    meaning: 'weak: it passes less light; nothing else is wrong as far as is known',
    values: {
      share,
      pointing: choice('what is known of where it looks', [
        'where it should',
        'not known',
        'not measured',
        'does not apply',
      ]),
    },
  },
  'may-leak-into': {
    meaning: 'weak: a neighbour is too bright by what it lacks, so it may leak',
    values: {
      share,
      tube: place('the tube itself'),
      to: place('the neighbour'),
      toExcess: number('light that the neighbour has too much, 1 = that of a typical tube'),
    },
  },
  'responds-as-bowed': {
    meaning: 'bent: it responds to the lamps as a traced bowed tube does, and as no straight one',
    values: {
      share: share.nullable(),
      bowMm,
      directionDeg: number('where its middle stands out, anticlockwise from right').nullable(),
    },
  },
  'aside-and-changed': {
    meaning: 'bent: it looks aside, and its acceptance or its light differs from its neighbours’',
    values: {
      ...aside,
      share: share.nullable(),
      bowMm,
      widthRatio: number('its acceptance width, 1 = that of its neighbours'),
      ownShape: yesNo('whether its acceptance is skewed or flat-topped'),
    },
  },
  'shape-changed': {
    meaning: 'bent or partly blocked: it looks where it should, with less light and another acceptance',
    values: { share, bowMm: bowMm.nullable() },
  },
  'looks-aside': {
    meaning: 'misaimed: it looks aside, and its acceptance and light are normal',
    values: {
      ...aside,
      shiftMm: number('by which its front end is off its place'),
      bowMm: number('bow that would look much the same; null where nothing suggests one').nullable(),
    },
  },
  'not-lit-by-sweep': {
    meaning: 'bent or misaimed: it passes light, but no lamp of the sweep shows where it looks',
    values: {
      share,
      gap: choice('dark: no lamp lights it; past the rim: lamps at the rim of the sweep light it most', [
        'dark',
        'past the rim',
      ]),
    },
  },
} as const satisfies ReasonTable;
