import type { WordsOf } from './words-of.js';

export const WALL_WORDS: WordsOf<'wall'> = {
  'wall-unknown': () =>
    'The gloss of the tube walls (how much light they reflect as a mirror does) needs acceptance widths (how wide the tubes see: ' +
    'a lamp sweep) or absolute transmission (a bare shot).',
  'wider-than-smooth-walls': () =>
    'The tubes see wider than even the smoothest wall of this material would make them.',
  'narrower-than-black-walls': () =>
    'The tubes see narrower than tubes with perfectly black walls would: check tube-length and tube-bore.',
  'wall-figures-disagree': () =>
    'Acceptance width (how wide the tubes see) and absolute transmission do not fit the same gloss (how much light the walls ' +
    'reflect as a mirror does): the walls scatter light, or the bare shot ' +
    'was lit differently from the even one.',
};
