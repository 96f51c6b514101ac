/**
 * Judgement. Standard deviation of the Gaussian that smooths the residual ratio along the line of two lamps, in
 * half widths of the response. Moves dips.
 */
export const KERNEL_HALF_WIDTHS = 0.6;

/**
 * Common practice, no source. How far real arrays depart from the model at that scale; ratios known less well
 * shrink to 1. Moves dips and their uncertainty.
 */
export const TYPICAL_DEPARTURE = 0.02;

/**
 * Judgement. Standard uncertainty of a dip that is left where next to no light lies between the lamps: stray light and the wings of
 * the spots are known to about so much of the peak. Moves the uncertainty of dips above 0.97 only.
 */
export const LEAST_DIP_UNCERTAINTY = 0.001;

/** Judgement. Cells farther off the model than this are outliers, not light along the line. */
export const OUTLIER_CELL_SIGMAS = 4;

/** Common practice, no source. Relative standard uncertainty of a tape-measured distance or spacing. */
export const TAPE_UNCERTAINTY = 0.01;

/** Common practice, no source. Relative standard uncertainty of the stated dimensions. */
export const DIMENSIONS_UNCERTAINTY = 0.05;

/** Judgement. A shot this many standard deviations off the line of the others has a wrong stated distance. */
export const OUTLIER_SHOT_SIGMAS = 4;

/** Judgement. Lit cells that a pair must have to be measured. */
export const LEAST_LIT_CELLS = 4;

/** Judgement. Share of the brightest cell that counts as lit. */
export const LIT_SHARE = 0.1;

/**
 * Judgement. A separation of two lamps' images that is less sure than this share of the one by tape measure is no figure: it is left out, and the
 * shot's distance is not held against it.
 */
export const MOST_STRETCH_UNCERTAINTY = 0.5;

/** Judgement. With fewer lamp shots the response is mostly learned from the pairs themselves, which a finding says. */
export const ENOUGH_LAMPS = 3;

/**
 * Common practice, no source. Factor by which the learned width may be off where one lamp covers about one cell;
 * used in a finding only.
 */
export const OPEN_WIDTH = 1.25;

/**
 * What the response's shape, the lamps' nearness and the array's alignment leave uncertain in any distance. Tuned on 42 sessions of bench/accuracy (250
 * to 289, 330 to 341), 61 of bench/peers (judged, 700 to 749 and 760 to 779) and 80 of its lights.py (1100 to 1179): at 0.010, 0.012, 0.014 and 0.018,
 * 95 % intervals hold 90, 95, 98 and 99 % of distances. Moves the interval of the resolving distance.
 */
export const MODEL_ERROR = 0.013;

/**
 * Common practice, no source. Standard deviation of the log of the response's width about the learned one. Moves
 * the resolving distance.
 */
export const WIDTH_PRIOR = 0.05;

/**
 * Dips read without the model. Judgements, looked at on panels of 9 × 11 to 24 × 30 tubes; they move the plain readings and
 * the findings about them only.
 */
export const PLAIN = {
  /** Width of the regression for one shot, pitches; for n shots it is less by the cube root of n. */
  widthPitches: 0.7,
  /** What the smoothing leaves uncertain in a plain dip. */
  ownError: 0.01,
  /** Dips that a plain curve goes through: from this share of the required one, up to this dip. */
  mergedShare: 0.3,
  widestDip: 0.85,
  /** A plain reading and the model's disagree from so many standard uncertainties on. */
  disagreeSigmas: 3.5,
} as const;
