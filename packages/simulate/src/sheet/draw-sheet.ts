import type { Place } from '@twolamp/optics';
import type { Projection } from '../camera/projection.js';
import type { SheetLight } from './halo.js';
import type { Plane } from './plane.js';

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

/**
 * Adds light that changes slowly over the sheet (halo, room, bare sheet), and the frame around the sheet.
 *
 * @param light - on the sheet; what the lens blurs away must not be in it
 */
export function drawSheet(plane: Plane, view: Projection, light: SheetLight, edge: SheetEdge): void {
  const { width, height, data } = plane;
  const columns = Math.ceil((width - 1) / STEP_PX) + 1;
  const nodesOf = (y: number) =>
    Array.from({ length: columns }, (_, i) => {
      const place = { xPx: i * STEP_PX, yPx: y };
      const sheet = view.toSheet(place);
      return { ...sheet, lux: light(sheet), vignette: view.vignette(place) };
    });
  let above = nodesOf(0);
  let below = above;
  for (let y = 0; y < height; y++) {
    if (y % STEP_PX === 0) {
      above = y === 0 ? above : below;
      below = nodesOf(y + STEP_PX);
    }
    const part = (y % STEP_PX) / STEP_PX;
    for (let i = 0; i < columns; i++) {
      const from = between(above[i], below[i], part);
      const to = i + 1 < columns ? between(above[i + 1], below[i + 1], part) : from;
      const end = Math.min(width, (i + 1) * STEP_PX);
      for (let x = i * STEP_PX; x < end; x++) {
        const along = (x - i * STEP_PX) / STEP_PX;
        const acrossMm = from.acrossMm + along * (to.acrossMm - from.acrossMm);
        const upMm = from.upMm + along * (to.upMm - from.upMm);
        const lux = from.lux + along * (to.lux - from.lux);
        const vignette = from.vignette + along * (to.vignette - from.vignette);
        const cover =
          inside(Math.abs(acrossMm) - edge.halfAcrossMm, edge.blurMm) *
          inside(Math.abs(upMm) - edge.halfUpMm, edge.blurMm);
        data[y * width + x] += vignette * (cover * lux + (1 - cover) * edge.frameLux);
      }
    }
  }
}

interface Node extends Place {
  readonly lux: number;
  readonly vignette: number;
}

function between(a: Node, b: Node, part: number): Node {
  return {
    acrossMm: a.acrossMm + part * (b.acrossMm - a.acrossMm),
    upMm: a.upMm + part * (b.upMm - a.upMm),
    lux: a.lux + part * (b.lux - a.lux),
    vignette: a.vignette + part * (b.vignette - a.vignette),
  };
}

/** Share of a blurred edge on the inner side: a smooth step as wide as four standard deviations. */
function inside(beyondMm: number, blurMm: number): number {
  const t = Math.max(0, Math.min(1, 0.5 - beyondMm / (4 * blurMm)));
  return t * t * (3 - 2 * t);
}
