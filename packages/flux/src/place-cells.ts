import { fitWarp, type Lattice, type Warp } from '@twolamp/places';
import { type CellsOnPicture, cellsOnPicture, placedAt } from './cells-on-picture.js';
import type { ShotSolution } from './solve-shot.js';
import { centroidWithin, type SpotProfile } from './spot-profile.js';
import { SLOPE_RIM, type Stamps } from './stamps.js';

/** Lattice co-ordinates of each cell. */
type LatticePlaces = Pick<Lattice, 'u' | 'v'>;

/** Cells moved to where their profile fits best: one Gauss–Newton step for each movable one, with the others held. */
export function moveCells(
  cells: CellsOnPicture,
  stamps: Stamps,
  { flux, residual }: ShotSolution,
  weights: Float32Array,
  width: number,
  movable: (cell: number) => boolean,
): CellsOnPicture {
  const furthest = 0.1 * cells.pitchPx;
  const [placeX, placeY] = [cells.x.slice(), cells.y.slice()];
  for (let k = 0; k < flux.length; k++) {
    if (!movable(k)) continue;
    const [dx, dy] = stepOf(stamps, k, flux[k], residual, weights, width);
    placeX[k] += Math.min(Math.max(dx, -furthest), furthest);
    placeY[k] += Math.min(Math.max(dy, -furthest), furthest);
  }
  return placedAt(cells, placeX, placeY);
}

/** One cell's Gauss–Newton step in pixels; none where its place can't be determined. Slopes as in makeSlopes. */
function stepOf(
  stamps: Stamps,
  k: number,
  light: number,
  residual: Float32Array,
  weights: Float32Array,
  width: number,
): [number, number] {
  const { values } = stamps;
  const across = stamps.width[k];
  const scale = light / 12;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let x = 0;
  let y = 0;
  for (let row = SLOPE_RIM; row < stamps.height[k] - SLOPE_RIM; row++) {
    let at = stamps.start[k] + row * across + SLOPE_RIM;
    let pixel = (stamps.top[k] + row) * width + stamps.left[k] + SLOPE_RIM;
    for (const end = at + across - 2 * SLOPE_RIM; at < end; at++, pixel++) {
      const weight = weights[pixel];
      const byX = scale * (8 * (values[at - 1] - values[at + 1]) - (values[at - 2] - values[at + 2]));
      const byY =
        scale *
        (8 * (values[at - across] - values[at + across]) -
          (values[at - 2 * across] - values[at + 2 * across]));
      const miss = weight * residual[pixel];
      xx += weight * byX * byX;
      xy += weight * byX * byY;
      yy += weight * byY * byY;
      x += byX * miss;
      y += byY * miss;
    }
  }
  const determinant = xx * yy - xy * xy;
  if (determinant <= 1e-9 * xx * yy) return [0, 0];
  return [(yy * x - xy * y) / determinant, (xx * y - xy * x) / determinant];
}

function fittedWarp(
  cells: CellsOnPicture,
  { u, v }: LatticePlaces,
  known: (cell: number) => boolean,
): Warp | null {
  const ties = Array.from(u.keys()).filter(known);
  return fitWarp(ties.map((k) => ({ u: u[k], v: v[k], x: cells.x[k], y: cells.y[k] })));
}

/**
 * Cells whose own light shows their place: bright ones. A cell without a spot of its own must be as bright as a tube: a
 * dark one at the rim or beside bright holes would follow stray light step by step.
 *
 * @param found - 1 where the lattice search found a spot
 */
export function placedByLight(
  { bright, typical }: { bright(cell: number): boolean; typical(cell: number): boolean },
  found: Uint8Array,
): (cell: number) => boolean {
  return (k) => (found[k] === 1 ? bright(k) : typical(k));
}

/**
 * Cells whose own place isn't known, placed by the smooth map through the others.
 *
 * @param known - whether a cell's own place is known
 * @param through - that map, where it is at hand
 */
export function placeOthers(
  cells: CellsOnPicture,
  lattice: LatticePlaces,
  known: (cell: number) => boolean,
  through: Warp | null = null,
): CellsOnPicture {
  const others = Array.from(cells.x.keys()).filter((k) => !known(k));
  const warp = through ?? (others.length > 0 ? fittedWarp(cells, lattice, known) : null);
  if (!warp) return cells;
  const [x, y] = [cells.x.slice(), cells.y.slice()];
  for (const k of others) [x[k], y[k]] = warp.at(lattice.u[k], lattice.v[k]);
  return placedAt(cells, x, y);
}

/**
 * The same, and all cells' stretch by that map: the spots' first places are drawn aside at the array's rim, and the
 * stretch with them.
 */
export function rewarped(
  cells: CellsOnPicture,
  lattice: LatticePlaces,
  hexagonal: boolean,
  known: (cell: number) => boolean,
): CellsOnPicture {
  const warp = fittedWarp(cells, lattice, known);
  if (!warp) return cells;
  const { x, y } = placeOthers(cells, lattice, known, warp);
  return cellsOnPicture({ u: lattice.u, v: lattice.v, x, y, warp }, hexagonal, cells.unit);
}

/** Cells' middles of light: their places plus the profile's own centre of gravity. */
export function middlesOfLight(
  cells: CellsOnPicture,
  profileOf: (cell: number) => SpotProfile,
): { x: Float64Array; y: Float64Array } {
  const [x, y] = [cells.x.slice(), cells.y.slice()];
  const centroidOf = centroidWithin(0.6);
  for (let k = 0; k < x.length; k++) {
    const [p, q] = centroidOf(profileOf(k));
    const t = cells.toPitch;
    const [a, b, c, d] = [t[4 * k], t[4 * k + 1], t[4 * k + 2], t[4 * k + 3]];
    const determinant = a * d - b * c;
    x[k] += (d * p - b * q) / determinant;
    y[k] += (a * q - c * p) / determinant;
  }
  return { x, y };
}
