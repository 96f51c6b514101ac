/** Extreme of the parabola through three values at even steps. */
export interface ParabolaVertex {
  /** From the middle value, in steps. */
  readonly offset: number;
  readonly value: number;
  /** Second difference: above 0 at a minimum. */
  readonly curvature: number;
}

/** Vertex of the parabola through three values at even steps; null where they lie on a straight line. */
export function parabolaVertex(before: number, here: number, after: number): ParabolaVertex | null {
  const curvature = before - 2 * here + after;
  if (curvature === 0) return null;
  return {
    offset: (before - after) / (2 * curvature),
    value: here - (after - before) ** 2 / (8 * curvature),
    curvature,
  };
}
