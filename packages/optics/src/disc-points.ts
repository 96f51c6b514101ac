const GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5));

/**
 * Points spread evenly over a disc of radius 1 like a sunflower's seeds.
 *
 * @param turnRad - by which all are turned about the middle
 * Source: H. Vogel, Math. Biosci. 44 (1979) 179.
 */
export function discPoints(count: number, turnRad = 0): { readonly x: number; readonly y: number }[] {
  return Array.from({ length: count }, (_, seed) => {
    const radius = Math.sqrt((seed + 0.5) / count);
    const angle = turnRad + seed * GOLDEN_ANGLE;
    return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
  });
}
