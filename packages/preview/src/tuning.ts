/**
 * Common practice, no source. Share of the tubes looking at the scene that may be brighter than white. Moves the
 * tones of the pictures.
 */
export const BRIGHTEST = 0.01;

/** Judgement. Scene pixels across the acceptance of the narrowest tubes. */
export const PIXELS_PER_WIDTH = 8;

/** Judgement. Tubes narrower than this share of a typical one do not make the scene's pixels finer. */
export const NARROWEST = 0.5;

/** Judgement. Share of a tube's view inside the scene from which it counts in the similarity. */
export const LOOKS_INSIDE = 0.5;

/** Judgement. Share of a tube's even light that comes from directions beyond the end of its table. */
export const LEFT_OUT = 0.002;
