/** Longest edge between neighbours, pitches: √2 is two tubes across a square. Judgement. */
export const NEIGHBOUR_PITCHES = 1.5;
/** Neighbours farther apart than this don't touch, pitches. Judgement: unequal diameters and errors come to 0.05. */
export const GAP_PITCHES = 1.2;

/** Lamps that tell how the photo is turned, and the share of a shot's brightest tube from which tubes take part. Judgement. */
export const LEAST_LAMPS = 5;
export const LIT_SHARE = 0.3;
/** Standard uncertainties from which a turn is believed. */
export const TURN_SIGMAS = 3;
/** Smaller turns are taken out without a word, deg. */
export const TOLD_TURN_DEG = 0.5;
