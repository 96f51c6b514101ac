/** One random stream for each thing left to chance, so that changing one leaves the others as they were. */
export const STREAM = {
  placement: 1,
  pointing: 2,
  transmission: 3,
  faults: 4,
  crosstalk: 5,
  unevenness: 6,
  drift: 7,
  /** And one for each tube. */
  firstTracing: 1_000_000,
  /** And one for each photo. */
  firstPhoto: 1000,
} as const;
