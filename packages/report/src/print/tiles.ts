/** ISO 216 A4, mm. */
const A4 = { widthMm: 210, heightMm: 297 } as const;
/** Kept free on every side: home printers don't print to the edge. */
export const PAGE_MARGIN_MM = 10;
/** What fits on one upright page. */
export const PRINTABLE_MM = {
  width: A4.widthMm - 2 * PAGE_MARGIN_MM,
  height: A4.heightMm - 2 * PAGE_MARGIN_MM,
} as const;
/** By how much neighbouring pages repeat each other, so that they can be laid over one another and glued. */
export const OVERLAP_MM = 10;

/** Which part of a drawing a page shows. */
export interface Tile {
  readonly row: number;
  readonly column: number;
  /** Place in the drawing that falls on the page's top left printable corner. */
  readonly leftMm: number;
  readonly topMm: number;
}

export interface Tiling {
  readonly pageWidthMm: number;
  readonly pageHeightMm: number;
  readonly rows: number;
  readonly columns: number;
  readonly tiles: readonly Tile[];
}

function pagesFor(lengthMm: number, printableMm: number): number {
  return Math.max(1, Math.ceil((lengthMm - OVERLAP_MM) / (printableMm - OVERLAP_MM)));
}

function tiling(widthMm: number, heightMm: number, pageWidthMm: number, pageHeightMm: number): Tiling {
  const wide = pageWidthMm - 2 * PAGE_MARGIN_MM;
  const high = pageHeightMm - 2 * PAGE_MARGIN_MM;
  const columns = pagesFor(widthMm, wide);
  const rows = pagesFor(heightMm, high);
  const tiles = Array.from({ length: rows * columns }, (_, i) => {
    const row = Math.floor(i / columns);
    const column = i % columns;
    return {
      row: row + 1,
      column: column + 1,
      leftMm: column * (wide - OVERLAP_MM),
      topMm: row * (high - OVERLAP_MM),
    };
  });
  return { pageWidthMm, pageHeightMm, rows, columns, tiles };
}

/** Cuts a drawing of this size into A4 pages, upright or lying, whichever takes fewer; upright where both take as many. */
export function tilesFor(widthMm: number, heightMm: number): Tiling {
  const upright = tiling(widthMm, heightMm, A4.widthMm, A4.heightMm);
  const lying = tiling(widthMm, heightMm, A4.heightMm, A4.widthMm);
  return lying.tiles.length < upright.tiles.length ? lying : upright;
}
