/**
 * Judgement. Cells farther from the lit one are left out of its total: only noise is there. Moves totals by that
 * noise.
 */
export const REACH_PITCHES = 3.6;

/** Judgement. Cells up to here show what light all cells have in common. Moves the uncertainty of totals. */
export const BACKGROUND_PITCHES = 7;

/**
 * Tuned on synthetic sessions (250 to 369: photos of even light and single tubes alone). What the shape of the lit spot's wings
 * leaves uncertain in a total beside noise, a share of its light. Moves the uncertainty of totals.
 */
export const WINGS_ERROR = 0.0006;

/** Tuned on the same: of 0.3, 0.5 and 0.7 the likeliest. Correlation of the errors of two cells near a lit tube. Moves the uncertainty of totals. */
export const NEAR_CORRELATION = 0.5;

/**
 * Tuned on the same. Relative error of one cell's light against another's. Moves the uncertainty of totals, of leaky tubes most.
 */
export const LIGHT_ERROR = 0.005;

/**
 * Common practice, no source. Least excess over other tubes' share that a builder would act on. Moves which tubes
 * are called leaky.
 */
export const LEAST_LEAK = 0.01;

/** Judgement. Shares farther from the typical one than this are the tube's own and stay as they are. */
export const OUTLIER_SIGMAS = 4;
