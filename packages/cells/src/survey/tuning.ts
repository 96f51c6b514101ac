/**
 * From when on a further even shot was taken from elsewhere, and which cell is which there. Tuned on simulated panels of
 * 9 × 11 tubes; it moves which even shots open a camera position.
 */
export const POSITIONS = {
  /** A quick look takes the camera for still where no cell's centre of light moved by more, pitches; else it looks closer. */
  stillPitches: 0.02,
  /** A turned or nearer camera moves some cell by more than this beside the common shift, pitches. */
  mostTurnedPitches: 0.03,
  /** A tube darker than this share of a typical one counts as dark. */
  leastLight: 0.05,
} as const;
