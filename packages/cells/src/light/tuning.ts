/**
 * Tuned numbers of this folder: when repeats of one shot disagree in a cell. Moves which cells are named as uncertain, and
 * their uncertainty. Tuned on simulated panels of 6 × 8 tubes; judged on other seeds by bench/fuzz (right sessions with
 * repeats must name none).
 */
export const REPEATS = {
  /** Difference of two repeats in its own standard uncertainties, and over the light of a bright cell. */
  apartSigmas: 8,
  apartShare: 0.08,
} as const;
