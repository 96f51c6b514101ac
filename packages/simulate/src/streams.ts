/** One random stream for each thing left to chance, so that changing one leaves the others as they were. */
export const STREAM = {
  placement: 1,
  pointing: 2,
  transmission: 3,
  faults: 4,
  crosstalk: 5,
  unevenness: 6,
  drift: 7,
  tracing: 8,
  grain: 9,
  firstPhoto: 1000,
} as const;
