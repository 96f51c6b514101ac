/*
 * Tuned numbers of this folder: what each was tuned on, and what it moves. Numerical tolerances and facts with a source
 * stand where they are used. Synthetic sessions are those of bench/accuracy; those of bench/peers were only looked at
 * afterwards.
 */

/** Following the camera's drift. Moves the lights of all cells of a shot whose camera had moved. */
export const DRIFT = {
  /** Rounds over the whole picture at most; one is typical. */
  rounds: 3,
  /** A shift is believed when it is this certain, pitches. */
  certainPitches: 0.02,
  /** Change of the shift at which the rounds end, pitches: moves a cell's light by less than a thousandth. */
  settledPitches: 0.008,
  /** Beyond this shift, in pitches, spots must look like those of the even shot, but for this share of their light. */
  oddShiftPitches: 0.1,
  unlikeSpots: 0.3,
  /** Cells with at least this share of the brightest one's light guide the shift; the brightest of them are enough. */
  guidingShare: 0.05,
  mostGuides: 400,
} as const;

/** Spots lit by lamps. Tuned on synthetic sessions with black and glossy tubes; moves directions, dips and crosstalk. */
export const LAMP_SPOTS = {
  /** Cells less clear of noise, or dimmer against the brightest one, keep the sheet's profile. */
  clearSigmas: 10,
  clearShare: 0.02,
  /** Typical size of the polynomial's terms, in the spot's own brightness: as large as a half-lit bore makes them. */
  termSigma: 0.5,
  /** Distance in pitches at which its terms come to 1, and stay so farther out: the rim of a typical bore. */
  rimPitches: 0.43,
  /** A polynomial that takes away more of the light than this is none that a spot could have. */
  mostTaken: 0.5,
  /**
   * How far the light of any cell may be off where lamps light the tubes, a share of the brightest one's: what spots lit in
   * part, and scatter, leave over.
   */
  spiltShare: 0.0008,
} as const;

/** Share of a profile's weight that clipped pixels may have before the cell counts as clipped. */
export const CLIPPED_SHARE = 0.01;
