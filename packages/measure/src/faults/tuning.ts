/** Common practice, no source. A tube is blocked below this share of the typical light. */
export const BLOCKED_SHARE = 0.05;

/** Judgement. It is blocked too where its light is less than this many standard uncertainties ... */
export const DARK_SIGMAS = 3;

/** Judgement. ... and below this share of the typical light. */
export const MOST_DARK_SHARE = 0.15;

/** Common practice, no source. Least loss of light that is a fault. */
export const LEAST_LOSS = 0.08;

/** Common practice, no source. Least surplus of light that is an empty hole. */
export const LEAST_SURPLUS = 0.25;

/** Common practice, no source. Least pointing error that is a fault, a share of the acceptance width. */
export const LEAST_ASIDE = 0.05;

/**
 * Tuned on synthetic sessions. Score of width, dimness and shape together from which a tube that looks aside is
 * bent, not misaimed; standard deviations.
 */
export const BENT_SCORE = 2.5;

/** Judgement. Score from which it may also be bent, which the reason says. */
export const MAYBE_BENT_SCORE = 1;

/** Judgement. Weight of dimness in that score: a misaimed tube may be a dim one as well. */
export const DIMNESS_WEIGHT = 0.7;

/** Judgement. A tube's direction and own shape are known if its direction is certain to this share of the acceptance width. */
export const SHAPE_KNOWN = 0.1;

/**
 * Judgement. Relative standard uncertainty of a bow inferred from direction or light, since the wall's gloss is
 * only estimated.
 */
export const BOW_UNCERTAINTY = 0.08;

/** Common practice, no source. Scatter of healthy tubes' light, and so of a bow's loss. */
export const LIGHT_SCATTER = 0.05;

/** Judgement. Neighbours, all with a known pointing, that make a tube without one suspect. */
export const LEAST_AROUND = 3;

/** Judgement. Relative transmission from which a tube should show in a sweep. */
export const PLENTY_OF_LIGHT = 0.3;

/** Judgement. A bent tube that looks less aside than this share of its width looks much the same from either side. */
export const SIDE_SHOWS = 0.2;

/** Judgement. Least share of the entrance tangent that a wall guides light aside; below it no bow can be inferred. */
export const LEAST_GUIDED = 0.3;

/** Judgement. Tubes that lack less light than this many standard deviations are not asked about. */
export const LACKS_SIGMAS = 2;

/** Judgement. What one tube gains and the other lacks is the same light within this many standard deviations. */
export const AGREES_SIGMAS = 3;

/** Common practice, no source. Least leak worth a suspicion. */
export const LEAST_SUSPECTED_LEAK = 0.06;

/** Judgement. Standard deviations at which most leaks pass the test among some hundred pairs. */
export const SHOWS_SIGMAS = 5;

/** Tuned on synthetic sessions. Standard uncertainty of the useful light of a bent tube, from its fitted shape. */
export const BENT_UNCERTAINTY = 0.06;

/** Judgement. Relative standard uncertainty of a change of the dip by the measured model. */
export const DIP_GAIN_UNCERTAINTY = 0.15;
