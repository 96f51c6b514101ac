/** Judgement. Fewer tubes that are healthy in both sessions determine no common scale. */
export const LEAST_HEALTHY = 8;

/**
 * Judgement. Relative standard uncertainty with which the level of absolute transmission repeats from session to
 * session: lamps and skies vary between the even and the bare shot, shutter times are not exact, the sheet is laid
 * anew. All tubes of a session share it, and no stated uncertainty contains it. Moves which change of the whole
 * array counts as shown.
 */
export const REPEATABILITY = 0.025;

/**
 * Relative standard deviation of the error that two sessions' resolving distances have in common: all of what the model of the response leaves open
 * (MODEL_ERROR of resolving). Tuned on 79 arrays of bench/compare (peer distances, 900 to 923 and 1500 to 1554), every second of them rebuilt with
 * other walls, lamps placed anew: errors of 1.6 % are correlated by 0.87, and at 0.012 and 0.013 intervals hold 99 and 95 % of differences. Moves the
 * interval of the difference.
 */
export const SHARED_ERROR = 0.013;

/** Judgement. Errors of two distances are at most so much correlated: walls, lamps and their places are never quite the same. */
export const MOST_ALIKE = 0.85;

/** Judgement. Tubes tested in a session below which their scatter is too uncertain for an interval. */
export const LEAST_TESTED = 4;

/**
 * Judgement. A finding says so if the scatter between sessions exceeds their stated uncertainty by this factor ...
 */
export const DISAGREE_TIMES = 3;

/** Judgement. ... and this share of a typical tube. */
export const DISAGREE_SHARE = 0.02;

/**
 * Judgement. Standard uncertainty of a dark tube's change, share of a typical tube; of others, by how much less light they pass than a typical tube or
 * the brightest one beside them. A sheet laid anew and a camera elsewhere mix neighbours' light slightly differently; of bright tubes their scatter
 * shows it. Beside holes of bench/compare (peer lights, 627 and 628) changes of up to 0.016 come about so. Moves which tubes count as changed.
 */
export const LEAST_LIGHT_SCATTER = 0.005;

/**
 * Judgement. Healthy tubes that a plane through their changes needs; with fewer only a common shift is removed.
 */
export const PLANE_TUBES = 24;

/**
 * Judgement. Least scatter between two sessions along each axis: lamps are placed by hand, a millimetre at 2 m is
 * 0.03°, and a tube's pointing rests on a few of them. Moves which tubes count as changed.
 */
export const LEAST_SCATTER_DEG = 0.02;

/**
 * Requirement. Expected share of chance among the changes that are called significant, for light and for pointing.
 *
 * No more than one in twenty is promised. Held to that on the average, every second comparison would have more; at 1 %, 97 in 100
 * comparisons of 25 changed tubes keep the promise (at most one false of 26: Poisson, mean 0.26), and uncertainties that are 15 % too
 * small don't break it. It costs 0.4 standard uncertainties of reach.
 */
export const FALSE_DISCOVERY_RATE = 0.01;

/** Judgements, tried on made-up arrays and the sessions of bench/compare; they move findings only. */
export const FINGERPRINT = {
  /** Tubes darker than this are as dark as one another. */
  darkest: 0.1,
  fewestTubes: 30,
  /** Scatter from tube to tube over its uncertainty from which on it tells tubes apart. */
  distinct: 2,
  /** Below this agreement the sessions show different tubes. */
  lostSigmas: 2,
} as const;

/** Laying packed arrays onto each other. Tuned on bundles of 240 and 2,000 simulated tubes; pitches. */
export const PACKED = {
  /** Turns tried first: the outermost tubes move by this much from one to the next. */
  turnStepPitches: 0.35,
  /** Tubes that try them, and how many of the best turns are followed up, each with shifts to the places around. */
  sample: 400,
  starts: 12,
  aroundPitches: 1.25,
  /** A partner may be so far away while the pose is sought, and at the end. */
  partnerPitches: 0.45,
  samePitches: 0.35,
  rounds: 12,
  /** What photos bend differently: tilt and lens distortion that the places didn't show. */
  bendDegree: 3,
  /** Share of the tubes that must find a partner, and how many different poses are weighed by their light. */
  leastFit: 0.7,
  candidates: 12,
  samePosePitches: 0.5,
  /** Tubes needed for a correlation of their light. */
  leastAlike: 12,
  /** By how much the best pose must beat the next, in share of partners plus correlation. */
  leastLead: 0.15,
} as const;
