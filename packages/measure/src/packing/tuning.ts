/** Neighbours farther apart than this don't touch, pitches. Judgement: unequal diameters and errors come to 0.05. */
export const GAP_PITCHES = 1.2;

/** Lamps that tell how the photo is turned, and the share of a shot's brightest tube from which tubes take part. Judgement. */
export const LEAST_LAMPS = 5;
export const LIT_SHARE = 0.3;
/** Standard uncertainties from which a turn is believed. */
export const TURN_SIGMAS = 3;
/** Smaller turns are taken out without a word, deg. */
export const TOLD_TURN_DEG = 0.5;
/**
 * Standard uncertainty of a bundle's middle along one axis, pitches, and of its scale and turn, relative. Tuned on bundles 510 to 512 and 610 to 612 of
 * bench/peers: directions are off by 0.12 pitches in common (RMS, at most 0.26) and grow apart by 0.2 to 1.3 %. Moves uncertainties of directions.
 */
export const MIDDLE_PITCHES = 0.12;
export const PLACE_SHARE = 0.01;
