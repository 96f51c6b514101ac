import KDBush from 'kdbush';

/** A point near another one. */
export interface Neighbour {
  /** Index of the point. */
  readonly index: number;
  readonly distance: number;
}

/**
 * Looks up which points lie near each other.
 *
 * @param x - one a point; at least one
 * @param y - same length, same unit
 * @returns for a point and a radius all other points nearer than that, by growing index
 */
export function neighbourFinder(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
): (point: number, radius: number) => Neighbour[] {
  const tree = new KDBush(x.length);
  for (let n = 0; n < x.length; n++) tree.add(x[n], y[n]);
  tree.finish();
  return (point, radius) =>
    tree
      .within(x[point], y[point], radius)
      .sort((a, b) => a - b)
      .map((index) => ({ index, distance: Math.hypot(x[index] - x[point], y[index] - y[point]) }))
      .filter(({ index, distance }) => index !== point && distance < radius);
}
