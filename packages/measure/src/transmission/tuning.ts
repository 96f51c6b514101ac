/**
 * Judgement. Relative standard uncertainty of the share of light in the profile's wings: it rests on faint light
 * around the array. Moves the uncertainty of absolute transmission.
 */
export const WINGS_UNCERTAINTY = 0.15;

/**
 * Judgement. Relative standard uncertainty of a hand-laid array's pitch, and so of the scale in pixels per
 * millimetre by which the bore's area is known. Moves the uncertainty of absolute transmission.
 */
export const PITCH_UNCERTAINTY = 0.015;

/** Judgement. Cells for each term of the bare sheet's smooth surface, at least. */
export const FLAT_FIELD_CELLS_PER_TERM = 5;

/** Judgement. Cells for each term of the trend, at least. */
export const TREND_CELLS_PER_TERM = 12;

/** Judgement. Cells below this share of the median light, or above its inverse, do not shape the trend. */
export const TREND_LEAST_LIGHT = 0.3;

/** Judgement. Uncertainty or scatter over the figure itself beyond which it says nothing: it is a finding, no headline. */
export const MOST_SCATTER = 0.5;

/** Judgement. Light below zero by so many standard uncertainties and such a share of the typical light is none that noise makes. */
export const NEGATIVE_SIGMAS = 5;
export const LEAST_NEGATIVE = 0.05;
