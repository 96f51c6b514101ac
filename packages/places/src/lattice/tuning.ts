/*
 * Tuned on drawn pictures of square and hexagonal arrays (the tests beside these
 * files), and tried on photographs of spot lattices that no renderer made: a plate of holes through a wide-angle lens, a
 * lens array, a tilted hexagonal one with spots a tenth of a pitch wide, a fibre bundle. A factor of 1.5 either way
 * changed no cell's row and column there unless said otherwise.
 */

/** Pixels a pitch that the reduced picture should have: enough for sub-pixel centres, few enough to be quick. */
export const WORKING_PITCH_PX = 14;
/** Fewest pixels a pitch at which neighbouring spots can be separated. Below it the photo is refused. */
export const LEAST_PITCH_PX = 4.5;
/** Share of the stated tubes that must be found before their places mean anything. */
export const LEAST_FOUND_SHARE = 0.2;

/** Strength, against the spots around, from which a spot takes part in growing the lattice. */
export const STRONG = 0.3;
/** How far a spot may lie from its predicted place, in pitches. At 0.4 a spot can be taken for its neighbour. */
export const REACH_PITCHES = 0.28;

/** Strength from which a spot counts as a healthy tube when the array is placed. */
export const HEALTHY = 0.25;
/** Spots nearer to the picture's edge than this are cut by it: they may lie outside the stated outline. */
export const CUT_PITCHES = 0.6;
/** Spots outside the stated outline that may be reflections or dirt: so many, or this share of all. */
export const MOST_STRAYS = 3;
export const STRAY_SHARE = 0.004;
/** Share of an outside row or column that must be lit for it to be one that the session does not state. */
export const LIT_LINE_SHARE = 0.3;
/** Share of a stated outer row or column that must be lit for it to exist. */
export const DARK_LINE_SHARE = 0.2;

/** Judgement. Pixels a pitch that spots are looked for with: a spot is half a pitch wide, its place is refined later. */
export const SPOTS_PITCH_PX = 6;

/** Width of a spot (full width at half maximum, in pitches) below which the picture keeps more pixels a pitch. */
export const NARROW_PITCHES = 0.35;

/** Ties for each term of the warp. */
export const TIES_PER_TERM = 8;

/** How far a cell's final place may lie from where the lattice search saw its spot, in pitches, and share of cells beyond. */
export const FARTHEST_FROM_LATTICE = 0.2;
export const MOST_FAR_SHARE = 0.02;
