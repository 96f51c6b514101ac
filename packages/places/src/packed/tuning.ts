/*
 * Tuned on bundles drawn by `simulate` (box and ring, 300 to 2,000 tubes, seeds 1 to 3); judged on other seeds and on the
 * second renderer.
 */

/** Tubes touch whose distance is the typical one, give or take this share: their edges tell the scale of the sheet. */
export const TOUCHING_SPREAD = 0.06;

/** Spots nearer than this to a stronger one are no tubes of their own, pitches. */
export const LEAST_APART = 0.7;
/** Strength, against the spots around, below which a spot that touches fewer than {@link LEAST_BESIDE} tubes is stray light. */
export const WEAK = 0.25;
export const LEAST_BESIDE = 3;

/** A spot whose middle lies nearer to the picture's edge than this is cut by it, pitches: half a tube's outside. */
export const WHOLE_PITCHES = 0.5;

/** A place nearer to a tube than this is that tube's, pitches. */
export const TAKEN_PITCHES = 0.75;
/** A dark tube needs this much room from every other one, pitches: some less than its diameter, as places have errors. */
export const ROOM_PITCHES = 0.955;
/** Predictions of one dark place lie nearer to each other than this, pitches. */
export const AGREE_PITCHES = 0.35;
/** Tubes that must agree on a dark place inside the bundle, and at its rim. */
export const INNER_VOTES = 3;
export const RIM_VOTES = 4;

/** Largest angle off the horizontal of the step from one tube to the next in a row, deg: steps lie 60° apart. */
export const ROW_TURN_DEG = 32;
