/**
 * Judgement. Relative difference between traced and measured acceptance widths beyond noise: the acceptance was
 * learned from few lamps. Moves the gloss and its uncertainty.
 */
export const WIDTH_MODEL_ERROR = 0.03;

/** Judgement. The same of absolute transmission: a bare sheet and one behind an array scatter light differently. */
export const TRANSMISSION_MODEL_ERROR = 0.08;

/** Judgement. A finding asks for the lamps' diameter if it may change widths by more than this share. */
export const WORTH_STATING = 0.01;

/** Judgement. Two figures contradict each other from this many standard deviations. */
export const CONTRADICT_SIGMAS = 3;
