import type { Projection } from '../camera/projection.js';
import type { SheetLight } from './halo.js';
import type { Plane } from '../camera/plane.js';

/** The sheet and what is around it. */
export interface SheetEdge {
  /** Half the sheet's width and height, mm. */
  readonly halfAcrossMm: number;
  readonly halfUpMm: number;
  /** Standard deviation of the blur at its edge, mm. */
  readonly blurMm: number;
  /** Light that reaches the camera from the frame beyond the edge, lx at a white sheet. */
  readonly frameLux: number;
}

/** Light is worked out on every so many pixels and read in between by straight lines. */
const STEP_PX = 8;

/** What the nodes of one row hold, in this order; fields of one node lie side by side. */
const FIELDS = 4;
const ACROSS = 0;
const UP = 1;
const LUX = 2;
const VIGNETTE = 3;

/**
 * Adds light that changes slowly over the sheet (halo, room, bare sheet), and the frame around the sheet.
 *
 * @param light - on the sheet; what the lens blurs away must not be in it
 */
export function drawSheet(plane: Plane, view: Projection, light: SheetLight, edge: SheetEdge): void {
  const { width, height, data } = plane;
  const columns = Math.ceil((width - 1) / STEP_PX) + 1;
  const row = new Float64Array(columns * FIELDS);
  let above = nodes(0, columns, view, light);
  let below = above;
  for (let y = 0; y < height; y++) {
    if (y % STEP_PX === 0) {
      if (y > 0) above = below;
      below = nodes(y + STEP_PX, columns, view, light);
    }
    const part = (y % STEP_PX) / STEP_PX;
    for (let i = 0; i < row.length; i++) row[i] = above[i] + part * (below[i] - above[i]);
    for (let x = 0; x < width; x++) {
      const from = Math.floor(x / STEP_PX) * FIELDS;
      const along = (x % STEP_PX) / STEP_PX;
      const to = along === 0 ? from : from + FIELDS;
      const acrossMm = row[from + ACROSS] + along * (row[to + ACROSS] - row[from + ACROSS]);
      const upMm = row[from + UP] + along * (row[to + UP] - row[from + UP]);
      const lux = row[from + LUX] + along * (row[to + LUX] - row[from + LUX]);
      const vignette = row[from + VIGNETTE] + along * (row[to + VIGNETTE] - row[from + VIGNETTE]);
      const cover =
        inside(Math.abs(acrossMm) - edge.halfAcrossMm, edge.blurMm) *
        inside(Math.abs(upMm) - edge.halfUpMm, edge.blurMm);
      data[y * width + x] += vignette * (cover * lux + (1 - cover) * edge.frameLux);
    }
  }
}

function nodes(yPx: number, columns: number, view: Projection, light: SheetLight): Float64Array {
  const row = new Float64Array(columns * FIELDS);
  for (let i = 0; i < columns; i++) {
    const place = view.toSheet({ xPx: i * STEP_PX, yPx });
    row[i * FIELDS + ACROSS] = place.acrossMm;
    row[i * FIELDS + UP] = place.upMm;
    row[i * FIELDS + LUX] = light(place);
    row[i * FIELDS + VIGNETTE] = view.vignette(i * STEP_PX, yPx);
  }
  return row;
}

/** Share of a blurred edge on the inner side: a smooth step as wide as four standard deviations. */
function inside(beyondMm: number, blurMm: number): number {
  const t = 0.5 - beyondMm / (4 * blurMm);
  if (t >= 1) return 1;
  return t <= 0 ? 0 : t * t * (3 - 2 * t);
}
