export interface Discoveries {
  /** 1 where the test counts as a discovery. */
  readonly found: Uint8Array;
  /** Smallest false discovery rate at which each test would count; NaN where there was no test. */
  readonly adjusted: Float64Array;
}

/**
 * Which of many tests count as discoveries, with the expected share of false ones among them held to `rate`.
 *
 * @param p - one p-value a test, 0 to 1; NaN = no test was made, and it doesn't count as one
 * @param rate - false discovery rate, above 0 and below 1
 * @throws RangeError if the rate or a p-value is out of range
 * Source: Benjamini & Hochberg, J. R. Statist. Soc. B 57 (1995) 289–300, step-up procedure.
 */
export function benjaminiHochberg(p: ArrayLike<number>, rate: number): Discoveries {
  if (!(rate > 0 && rate < 1)) throw new RangeError(`rate must lie between 0 and 1, got ${rate}`);
  const tested = Array.from({ length: p.length }, (_, index) => index).filter(
    (index) => !Number.isNaN(p[index]),
  );
  for (const index of tested) {
    if (!(p[index] >= 0 && p[index] <= 1)) {
      throw new RangeError(`p[${index}] must lie from 0 to 1, got ${p[index]}`);
    }
  }
  tested.sort((a, b) => p[b] - p[a]);
  const found = new Uint8Array(p.length);
  const adjusted = new Float64Array(p.length).fill(Number.NaN);
  let least = 1;
  tested.forEach((index, place) => {
    least = Math.min(least, (p[index] * tested.length) / (tested.length - place));
    adjusted[index] = least;
    found[index] = least <= rate ? 1 : 0;
  });
  return { found, adjusted };
}
