import Delaunator from 'delaunator';

/** Delaunay triangulation of N points: M triangles. */
export interface Triangulation {
  /** Points of each triangle, three a triangle. */
  readonly triangles: Uint32Array;
  /** For each side of a triangle the same side of the triangle beside it; −1 on the hull. */
  readonly halfedges: Int32Array;
  /** Neighbours of each point that lie nearer than the reach, by growing angle (atan2 of y, x) from −π. */
  readonly neighbours: readonly (readonly number[])[];
}

/** Longest edge between two tubes that count as neighbours, pitches: √2 is two tubes across a square. */
export const NEIGHBOUR_PITCHES = 1.5;

/** The next side of the same triangle. */
export const nextSide = (side: number): number => (side % 3 === 2 ? side - 2 : side + 1);

/**
 * Delaunay triangulation, and each point's neighbours by its edges.
 *
 * @param x - one a point
 * @param y - likewise, same unit
 * @param reach - longer edges join no neighbours
 */
export function triangulate(x: ArrayLike<number>, y: ArrayLike<number>, reach: number): Triangulation {
  const points = new Float64Array(2 * x.length);
  for (let k = 0; k < x.length; k++) points.set([x[k], y[k]], 2 * k);
  const { triangles, halfedges } = new Delaunator(points);
  const neighbours: number[][] = Array.from({ length: x.length }, () => []);
  triangles.forEach((from, side) => {
    const to = triangles[nextSide(side)];
    // Each inner edge is a side of two triangles.
    if (halfedges[side] > side || Math.hypot(x[to] - x[from], y[to] - y[from]) >= reach) return;
    neighbours[from].push(to);
    neighbours[to].push(from);
  });
  const angle = (from: number, to: number) => Math.atan2(y[to] - y[from], x[to] - x[from]);
  neighbours.forEach((list, k) => {
    list.sort((a, b) => angle(k, a) - angle(k, b));
  });
  return { triangles, halfedges, neighbours };
}
