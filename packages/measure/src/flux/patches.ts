import type { CellsOnPicture } from './cells-on-picture.js';
import { type Footprint, FootprintBasis, REACH } from './footprint.js';

/** Each cell's footprint laid on the picture's pixels: a rectangle of values a cell, one after the other. */
export interface Patches {
  /** Top-left pixel and size of each rectangle. */
  readonly left: Int32Array;
  readonly top: Int32Array;
  readonly width: Int32Array;
  readonly height: Int32Array;
  /** Where each rectangle starts in `values`; one more entry than cells. */
  readonly start: Int32Array;
  /** Light per pixel for a flux of 1. */
  readonly values: Float32Array;
}

/** Rectangles of pixels that the footprints reach, cut off at the picture's rim. */
export function layOut(cells: CellsOnPicture, width: number, height: number): Omit<Patches, 'values'> {
  const count = cells.x.length;
  const [left, top, wide, high] = [0, 1, 2, 3].map(() => new Int32Array(count)) as [
    Int32Array,
    Int32Array,
    Int32Array,
    Int32Array,
  ];
  const start = new Int32Array(count + 1);
  for (let k = 0; k < count; k++) {
    const [a, b, c, d] = cells.toPitch.subarray(4 * k, 4 * k + 4) as unknown as [
      number,
      number,
      number,
      number,
    ];
    const determinant = Math.abs(a * d - b * c);
    // Half the bounding box of the square |p|, |q| ≤ REACH seen in pixels.
    const reachX = (REACH * (Math.abs(d) + Math.abs(b))) / determinant;
    const reachY = (REACH * (Math.abs(a) + Math.abs(c))) / determinant;
    left[k] = Math.max(0, Math.ceil(cells.x[k]! - reachX));
    top[k] = Math.max(0, Math.ceil(cells.y[k]! - reachY));
    wide[k] = Math.max(0, Math.min(width - 1, Math.floor(cells.x[k]! + reachX)) - left[k]! + 1);
    high[k] = Math.max(0, Math.min(height - 1, Math.floor(cells.y[k]! + reachY)) - top[k]! + 1);
    start[k + 1] = start[k]! + wide[k]! * high[k]!;
  }
  return { left, top, width: wide, height: high, start };
}

/**
 * Footprints evaluated on the pixels.
 *
 * @param cells - places and stretch of the cells
 * @param footprintOf - each cell's footprint
 * @param width - picture width in pixels
 * @param height - picture height in pixels
 */
export function makePatches(
  cells: CellsOnPicture,
  footprintOf: (cell: number) => Footprint,
  width: number,
  height: number,
): Patches {
  const layout = layOut(cells, width, height);
  const values = new Float32Array(layout.start[cells.x.length]!);
  const basis = new FootprintBasis();
  for (let k = 0; k < cells.x.length; k++) {
    const footprint = footprintOf(k);
    forPixelsOf(k, cells, layout, (at, p, q, shade) => {
      if (basis.moveTo(p, q)) values[at] = (shade * basis.value(footprint)) / cells.area[k]!;
    });
  }
  return { ...layout, values };
}

/** Derivatives of the patches with respect to the cell's place, per pixel of shift: ∂/∂x and ∂/∂y; 0 for cells not asked for. */
export function makeSlopes(
  cells: CellsOnPicture,
  footprintOf: (cell: number) => Footprint,
  layout: Omit<Patches, 'values'>,
  wanted: readonly number[],
): { byX: Float32Array; byY: Float32Array } {
  const size = layout.start[cells.x.length]!;
  const [byX, byY] = [new Float32Array(size), new Float32Array(size)];
  const basis = new FootprintBasis();
  for (const k of wanted) {
    const footprint = footprintOf(k);
    const t = cells.toPitch.subarray(4 * k, 4 * k + 4);
    forPixelsOf(k, cells, layout, (at, p, q, shade) => {
      if (!basis.moveTo(p, q)) return;
      const [alongP, alongQ] = basis.gradient(footprint, p, q);
      // A cell that moves right sees each pixel move left.
      byX[at] = (-shade * (alongP * t[0]! + alongQ * t[2]!)) / cells.area[k]!;
      byY[at] = (-shade * (alongP * t[1]! + alongQ * t[3]!)) / cells.area[k]!;
    });
  }
  return { byX, byY };
}

/** Calls `visit` with index into the values and local co-ordinates of every pixel of a cell's rectangle. */
export function forPixelsOf(
  k: number,
  cells: CellsOnPicture,
  layout: Omit<Patches, 'values'>,
  visit: (at: number, p: number, q: number, shade: number) => void,
): void {
  let at = layout.start[k]!;
  const t = cells.toPitch;
  const [a, b, c, d] = [t[4 * k]!, t[4 * k + 1]!, t[4 * k + 2]!, t[4 * k + 3]!];
  const [right, down] = [cells.shade[2 * k]!, cells.shade[2 * k + 1]!];
  for (let row = 0; row < layout.height[k]!; row++) {
    const dy = layout.top[k]! + row - cells.y[k]!;
    for (let column = 0; column < layout.width[k]!; column++, at++) {
      const dx = layout.left[k]! + column - cells.x[k]!;
      visit(at, a * dx + b * dy, c * dx + d * dy, 1 + right * dx + down * dy);
    }
  }
}
