/** A step that is this share of the way there or less is the last one: it leaves an error of about its square. */
const LAST_STEP = 1e-6;
const HORIZON_STEPS = 4;

/**
 * The first place at which a0 + a1·u + a2·u² + a3·u³ + a4·u⁴, which starts at or below 0, rises above 0.
 *
 * Each step solves a parabola that bounds the polynomial from above as far as a horizon, a few steps ahead, so that
 * no root is ever jumped over; near the root it converges like Newton's method.
 *
 * @param a4 - 0 or more
 * @param limit - how far to look
 * @returns the root, or Infinity where there is none before the limit
 */
export function firstRoot(a0: number, a1: number, a2: number, a3: number, a4: number, limit: number): number {
  const guess = parabolaRoot(a0, a1, a2);
  if (a3 === 0 && a4 === 0) return guess;
  let u = 0;
  let reach = guess;
  for (;;) {
    const horizon = Math.min(limit, u + reach);
    const value = a0 + u * (a1 + u * (a2 + u * (a3 + u * a4)));
    const slope = a1 + u * (2 * a2 + u * (3 * a3 + u * 4 * a4));
    // The second derivative is convex, so that it is greatest at one end of the stretch.
    const bend = Math.max(0, a2 + u * (3 * a3 + 6 * a4 * u), a2 + horizon * (3 * a3 + 6 * a4 * horizon));
    const step = parabolaRoot(value, slope, bend);
    if (step <= LAST_STEP * u) return u + step;
    if (u + step < horizon) {
      u += step;
      reach = HORIZON_STEPS * step;
    } else {
      if (!(horizon < limit)) return Infinity;
      reach = HORIZON_STEPS * (horizon - u);
      u = horizon;
    }
  }
}

/** Where a + b·u + c·u², a ≤ 0, rises above 0 for u ≥ 0; Infinity where it never does. */
function parabolaRoot(a: number, b: number, c: number): number {
  const root = Math.sqrt(Math.max(0, b * b - 4 * a * c));
  // Written without the difference of two nearly equal numbers.
  if (b >= 0) return b + root > 0 ? (-2 * a) / (b + root) : Infinity;
  return c > 0 ? (root - b) / (2 * c) : Infinity;
}
