import { fitRobustSurface, solveCholesky, surfaceTerms, thin } from '@twolamp/numeric';
import type { Lattice } from '@twolamp/places';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { WeightedPicture } from './normal-equations.js';
import { PixelRows } from './pixel-rows.js';
import type { ShotSolution } from './solve-shot.js';
import { largestStamp, makeSlopes, type Slopes, type Stamps } from './stamps.js';
import { LENS_SLOPE } from './tuning.js';

/** Limit of computing time: most cells asked, spread evenly. */
const MOST_VIEW_CELLS = 200;
/** Tolerance. Cells for each term of the smooth fields, at least. */
const CELLS_PER_TERM = 6;

/** Degree of the smooth fields: exact for the stretch that a lens's radial distortion k₁ makes. */
const DEGREE = 2;
/** Light and place of the cell itself, which change with what is sought. */
const OWN = 3;
const MODES = OWN + 5;

/**
 * How the camera sees a spot, corrected from the spots themselves: its stretch (all ways; across against down; aslant)
 * and the slope of brightness over it, by one Gauss–Newton step for some of the cells, smoothed over the array.
 *
 * The lattice doesn't show the stretch: a bulged outline stretches the lattice and leaves the tubes as wide as they were.
 * The slope is the lens's falling off within a spot; left out, it draws the middles aside. What all spots have in common
 * belongs to the profile. (Our own method.)
 *
 * @param usable - cells with light enough, and of the typical width
 * @param lattice - gives the cells' co-ordinates
 */
export function refineView(
  cells: CellsOnPicture,
  stamps: Stamps,
  { flux, residual }: ShotSolution,
  weights: Float32Array,
  width: number,
  usable: (cell: number) => boolean,
  { u, v }: Pick<Lattice, 'u' | 'v'>,
): CellsOnPicture {
  const all = Array.from(flux.keys()).filter(usable);
  const asked = thin(all, MOST_VIEW_CELLS);
  let degree = DEGREE;
  while (degree > 0 && asked.length < CELLS_PER_TERM * surfaceTerms(degree)) degree--;
  if (degree === 0) return cells;

  const slopesOf = makeSlopes(stamps);
  const pixels = new PixelRows(MODES, largestStamp(stamps));
  const steps = Array.from({ length: MODES - OWN }, () => new Float64Array(asked.length).fill(Number.NaN));
  for (const [at, k] of asked.entries()) {
    gather({ cells, stamps, k, slopes: slopesOf(k) }, { data: residual, weights, width }, pixels);
    const { lower: square, side } = pixels.equations();
    // A Gaussian spot with a slope of brightness is the same spot moved: the smooth field of slopes is held to what lenses
    // do, of which each cell bears its share.
    const hold = ((cells.pitchPx / (LENS_SLOPE * flux[k])) ** 2 * surfaceTerms(degree)) / asked.length;
    for (const n of [0, 1]) {
      const mode = MODES - 2 + n;
      square[mode * MODES + mode] += hold;
      side[mode] -= hold * flux[k] * cells.shade[2 * k + n];
    }
    if (!solveCholesky(square, side)) continue;
    steps.forEach((step, n) => {
      step[at] = side[OWN + n] / flux[k];
    });
  }
  const known = steps[0].filter(Number.isFinite).length;
  if (known < CELLS_PER_TERM * surfaceTerms(degree)) return cells;
  const [askedU, askedV] = [u, v].map((values) => Float64Array.from(asked, (k) => values[k])) as [
    Float64Array,
    Float64Array,
  ];
  const [wider, against, aslant, right, down] = steps.map((step) => {
    const { at } = fitRobustSurface(askedU, askedV, step, degree);
    const fitted = u.map((across, k) => at(across, v[k]));
    const mean = fitted.reduce((sum, value) => sum + value, 0) / fitted.length;
    return fitted.map((value) => value - mean);
  }) as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  const { toPitch, area } = stretched(cells, wider, against, aslant);
  const { x, y, pitchPx, unit } = cells;
  const shade = cells.shade.map((value, n) => value + (n % 2 === 0 ? right : down)[n >> 1]);
  return { x, y, toPitch, area, shade, pitchPx, unit };
}

interface AskedCell {
  readonly cells: CellsOnPicture;
  readonly stamps: Stamps;
  readonly k: number;
  readonly slopes: Slopes;
}

/** One cell's modes in its pixels. */
function gather(
  { cells, stamps, k, slopes: { byX, byY } }: AskedCell,
  { data: residual, weights, width }: Pick<WeightedPicture, 'data' | 'weights' | 'width'>,
  into: PixelRows,
): void {
  const { rows } = into;
  const { values } = stamps;
  const across = stamps.width[k];
  const left = stamps.left[k] - cells.x[k];
  into.clear();
  for (let row = 0; row < stamps.height[k]; row++) {
    const pixel = (stamps.top[k] + row) * width + stamps.left[k];
    const from = stamps.start[k] + row * across;
    const dy = stamps.top[k] + row - cells.y[k];
    for (let n = 0; n < across; n++) {
      const weight = weights[pixel + n];
      const light = values[from + n];
      if (weight === 0 || light === 0) continue;
      const dx = left + n;
      const alongX = byX[row * across + n];
      const alongY = byY[row * across + n];
      const at = into.next();
      rows[at] = light;
      rows[at + 1] = alongX;
      rows[at + 2] = alongY;
      rows[at + 3] = dx * alongX + dy * alongY - 2 * light;
      rows[at + 4] = dx * alongX - dy * alongY;
      rows[at + 5] = dy * alongX + dx * alongY;
      rows[at + 6] = dx * light;
      rows[at + 7] = dy * light;
      into.close(weight, residual[pixel + n]);
    }
  }
}

/** Pixels to pitches M becomes M (1 + E)⁻¹, to first order in E = [[wider + against, aslant], [aslant, wider − against]]. */
function stretched(
  cells: CellsOnPicture,
  wider: Float64Array,
  against: Float64Array,
  aslant: Float64Array,
): Pick<CellsOnPicture, 'toPitch' | 'area'> {
  const { toPitch, area } = cells;
  const into = { toPitch: new Float64Array(toPitch.length), area: new Float64Array(area.length) };
  for (let k = 0; k < area.length; k++) stretchCell(toPitch, k, wider[k], against[k], aslant[k], into);
  return into;
}

function stretchCell(
  from: Float64Array,
  k: number,
  wider: number,
  against: number,
  aslant: number,
  { toPitch, area }: Pick<CellsOnPicture, 'toPitch' | 'area'>,
): void {
  const at = 4 * k;
  const a = from[at];
  const b = from[at + 1];
  const c = from[at + 2];
  const d = from[at + 3];
  const x = 1 - wider - against;
  const y = 1 - wider + against;
  toPitch[at] = a * x - b * aslant;
  toPitch[at + 1] = b * y - a * aslant;
  toPitch[at + 2] = c * x - d * aslant;
  toPitch[at + 3] = d * y - c * aslant;
  area[k] = 1 / Math.abs(toPitch[at] * toPitch[at + 3] - toPitch[at + 1] * toPitch[at + 2]);
}
