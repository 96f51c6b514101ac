/* "Synthetic sweeps" are those of the tests beside these files and of bench/accuracy. */

/** Judgement. Tubes clearly lit by several lamps, below which no shared acceptance is learned. */
export const LEAST_REFERENCE_TUBES = 12;

/** Judgement. Tubes whose brightest reading is less than this share of what a typical tube shows of its best lamp are no reference tubes. */
export const LEAST_BRIGHTNESS = 0.15;

/**
 * Relative standard uncertainty of the shared width × √(readings inside the half maximum). Tuned on 21 sessions of bench/accuracy (250 to 289 and
 * 330 to 341): at 0.3 and 0.5, error over uncertainty is 0.89 and 0.53 (RMS). Moves the uncertainty of acceptance widths.
 */
export const WIDTH_UNCERTAINTY = 0.3;

/**
 * Judgement. Even light and sweep light of a tube agree to this share at best, since they come from different
 * photos.
 */
export const LEAST_EVEN_UNCERTAINTY = 0.02;

/** Judgement. Prior of the plane that all tubes' directions have in common: its rise from the array's middle to its edge, in mean radii of the acceptance. */
export const COMMON_FAN_PRIOR = 1;

/** Judgement. Scatter of sweep light over even light to start from, before any tube's own light is known. */
export const FIRST_EVEN_SCATTER = 0.1;

/** Judgement. Degree of the smooth trend of sweep light over even light; the data may support less. */
export const EVEN_TREND_DEGREE = 2;

/** Judgement. Tubes whose light the lamps tell so badly that they would count for less than this share are left out of that trend. */
export const LEAST_LIGHT_SHARE = 0.02;

/**
 * Tuned on session 701 of bench/peers (preset judged): share of the way that this trend goes at each step. At 0.5 and 1 the radius of the
 * acceptance swings by a tenth without end, at 0.25 it converges. Moves the number of steps.
 */
export const TREND_STEP = 0.25;

/** Judgement. Reference tubes for each term of that trend, at least. */
export const TUBES_PER_TERM = 3;

/** Judgement. Below this share of a typical tube's light, even or lamps', a tube shows mostly light that leaks in. */
export const LEAST_OWN_LIGHT = 0.05;

/** Tuned on synthetic sweeps. Least scatter assumed of the log of width among healthy tubes. */
export const LEAST_WIDTH_SCATTER = 0.01;

/** Tuned on synthetic sweeps. The scatter of widths found from few lamps is too small by this factor. */
export const WIDTH_SCATTER_MARGIN = 1.5;

/**
 * Tuned on synthetic sweeps. Typical change of steepness between neighbouring splines of the profile, heights a
 * mean radius. Smaller is smoother. Moves acceptance widths.
 */
export const STEEPNESS_CHANGE = 0.3;

/** Judgement. Each interval between knots is wider than the last by this factor. */
export const KNOT_GROWTH = 1.15;

/** Judgement. Tubes this many standard deviations off the neighbours' field are fitted again from there. */
export const STANDS_OUT = 2.5;

/**
 * Tuned on synthetic sweeps: hand-built tubes differ from the shared acceptance by about 1 %. Least model error
 * assumed: a share of the reading, and a noise floor as a share of the typical brightest reading. Moves
 * uncertainties of directions and widths.
 */
export const LEAST_MODEL_ERROR = { share: 0.009, floor: 0.0005 };

/** Judgement. Readings whose leverage on the fit exceeds this are left out of the model error. */
export const MOST_LEVERAGE = 0.8;

/** Judgement. Fewer readings than this do not determine the model error. */
export const LEAST_READINGS = 30;

/** Judgement. The same of flattening and smear, in radii at half maximum. */
export const OWN_SHAPE_PRIOR = 2;

/**
 * Tuned on synthetic sweeps of bent tubes. Model error of a shape of its own: a share of each reading, and of the
 * tube's brightest one.
 */
export const OWN_SHAPE_ERROR = { share: 0.06, ofBrightest: 0.01 };

/** Judgement. Standard uncertainty of the centre of gravity of a shape of its own, a share of its width. */
export const OWN_CENTRE_UNCERTAINTY = 0.03;

/**
 * Judgement. A direction with a larger standard uncertainty than this share of the acceptance width counts as
 * unknown.
 */
export const MOST_UNCERTAIN = 0.5;

/**
 * A tube whose brightest reading is less than this share of what it would show of a lamp on its axis has no direction: it sees its lamps
 * so far aside that their light depends on the shape of the wings. Tuned on ten arrays of bench/lamps (27 to 46, lamps in triangles): at 0,
 * 0.03, 0.05 and 0.1, 8, 1, 1 and 1 of 1280, 1220, 1140 and 930 healthy tubes look aside, and 42, 40, 39 and 37 that do so are found.
 */
export const LEAST_NEAR_LIGHT = 0.05;

/** Judgement. Readings beyond this many standard deviations do not shape the profile (bisquare weights). */
export const OUTLIER_SIGMAS = 6;

/** Judgement. A reading counts as light from this many standard deviations of its noise. */
export const CLEARLY_LIT_SIGMAS = 5;

/**
 * Uncertainty of a tube's centre of gravity over its acceptance width, for a share of light that the shared acceptance leaves
 * over beyond LEAST_MODEL_ERROR's. Tuned on sessions 500 to 539 of bench/peers (preset judged), whose healthy tubes bow by 0.05 mm and leave
 * 4 to 9 % over: at 0.1, 95 % intervals hold 94.8 % of directions. On sessions 760 to 799 they hold 89.8, 90.5 and 91.0 % at 0.08, 0.09 and 0.1;
 * at 0.1, uncertainties of straight tubes whose light scatters by 2 % come out a quarter too large. Moves uncertainties of directions.
 */
export const SKEW_SHARE = 0.09;

/**
 * Uncertainty of a tube's centre of gravity over its acceptance width, for the square of the shared width's relative uncertainty: that is 0.04 to
 * 0.1 with nine lamps, 0.01 with 30. Tuned on 26 panels of bench/fuzz (seeds 60000 to 60024 and 67021: 42 to 72 black tubes, nine lamps):
 * at 1.4, 2.1, 2.8 and 4.2, 95 % intervals hold 94, 96, 98 and 99 % of directions there; black tubes under triangles of lamps hold fewer. Moves
 * uncertainties of directions.
 */
export const SHARED_SHARE = 2.8;
