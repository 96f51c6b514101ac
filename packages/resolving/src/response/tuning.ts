/** Judgement. Cells above this share of the brightest one show where a shot's light lies. */
export const BRIGHT_SHARE = 0.3;

/**
 * Judgement. A common offset of all images below this many pitches is no sign of a wrong aim: coarse cells cause
 * as much.
 */
export const LEAST_AIM_PITCHES = 0.3;

/** Judgement. A shot shows a lamp if its brightest cell stands this many standard deviations above the noise. */
export const LEAST_LAMP_SIGMAS = 10;

/** Judgement. Lit cells of all shots together, below which no response is learned. */
export const LEAST_LIT_CELLS = 12;

/**
 * Tuned on sessions of two renderers (six of bench/accuracy's short form; lights.py of bench/peers, seeds 900 to 923). How far lamps may
 * stand off their stated place, in half widths of the response. Where lamps may stand anywhere, a wider response on an
 * array that fans out more looks nearly the same. Moves the resolving distance; at 0.3 by 0.1 %.
 */
export const SHIFT_PRIOR = 0.1;

/** Common practice, no source. Relative standard deviation of the divergence of the axes against the stated one. */
export const FAN_PRIOR = 0.04;

/**
 * Judgement. Standard deviation of the widening of near lamps about what theory expects. At 0.15, sessions of bench/peers
 * (lights.py, seeds 900 to 923) changed by 0.1 %.
 */
export const WIDENING_PRIOR = 0.3;

/**
 * Tuned on synthetic sessions of two renderers, so that the tubes' scatter causes no ripples: weight of the
 * response's curvature against χ², for a half width of 1. Moves dips and the resolving distance.
 */
export const STIFFNESS = 8;

/**
 * Tuned with STIFFNESS, which holds from so many shots of lamps on; with fewer it falls with the square root of their
 * number. At full stiffness five pairs alone gave dips up to 0.049 too small; falling from 30 shots on made the distance of a half-built
 * array with 15 shots of lamps 4.8 % too far, against 2.1 %. Moves dips of sessions with few shots.
 */
export const STIFFNESS_SHOTS = 10;

/** Common practice, no source. Relative scatter of the tubes' lamp light against their even light. */
export const GAIN_PRIOR = 0.03;

/**
 * Judgement. A tube counts towards the scatter of pointing if the shots know its direction by this factor better,
 * in 1/σ², than the scatter does.
 */
export const INFORMED_RATIO = 8;

/** Judgement. Such tubes below which the scatter of pointing stays as it is. */
export const LEAST_INFORMED = 10;

/** Judgement. Misfit per reading, in χ², at which a tube has lost half of its robust weight. */
export const CAUCHY_MISFIT = 4;

/** Judgement. Light above this share of the peak counts as a reading of the tube. */
export const READING_SHARE = 0.1;

/** Judgement. Cells below this relative transmission give hardly more than noise when divided by it. */
export const LEAST_TRANSMISSION = 0.3;

/** Judgement. Cells above this one are open holes and lack a tube's response. */
export const MOST_TRANSMISSION = 2;

/**
 * Common practice, no source. Departure of real tubes from the common response, a share of the light at hand.
 * Moves uncertainties of dips and separations.
 */
export const SHARE_ERROR = 0.03;

/** Common practice, no source. The same as a share of the peak. */
export const PEAK_ERROR = 0.01;

/**
 * Common practice, no source. What remains uncertain of a tube's pointing once it is fitted, a share of the
 * scatter of all.
 */
export const OPEN_SHARE = 0.5;

/**
 * Tuned on sessions of bench/peers (lights.py, preset quick, seeds 900 to 911). Standard deviation of the background, the
 * light that all cells of a lamp photo have in common after the dark frame, a share of a lamp's peak. Where one lamp's light
 * covers the whole array, a free background takes up the tails of the response, and dips and resolving distances come out
 * too large. Moves both; from 0.0005 to 0.002 by less than 0.2 %.
 */
export const BACKGROUND_PRIOR = 0.002;

/**
 * Tuned on two lamps before a black tube (shared area of two circles of unlike size). The bore's part of the disc that stands
 * for a lamp, a factor on the bore's radius. With it dips come out within 0.035 at 3 tube lengths and 0.015 at 10, where one
 * shape stretched for all distances errs by 0.19 and 0.07. Moves dips of near lamps.
 */
export const BORE_DISC = 1.7;

/**
 * Widening of a near lamp's response times tube length ÷ distance. `black`: of black tubes, tuned with BORE_DISC; the shared
 * area ends at 0.5. `gloss`: at this gloss it has fallen to 1/e, since a mirroring tube sees a near lamp as a far one. Tuned on
 * tubes traced with lamps at 5 to 20 tube lengths: stretched to fit their responses, that to a far lamp widens by 0.52, 0.37,
 * 0.24, 0.12, 0.08 and 0.02 at a gloss of 0.1, 0.2, 0.3, 0.43, 0.5 and 0.8. Moves dips and the resolving distance.
 */
export const WIDENING = { black: 0.6, gloss: 0.35 };
