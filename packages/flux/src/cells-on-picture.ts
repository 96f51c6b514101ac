import type { Lattice } from '@twolamp/places';

/**
 * Where the cells lie on the reduced picture, and how the lattice is stretched there; N cells, reading order.
 */
export interface CellsOnPicture {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Pixels to pitches, 2 × 2 a cell: p = t[4k]·dx + t[4k+1]·dy, q = t[4k+2]·dx + t[4k+3]·dy. */
  readonly toPitch: Float64Array;
  /** Pixels² that one pitch² covers. */
  readonly area: Float64Array;
  /** Slope of brightness over each spot, relative, a pixel to the right and a pixel down; 2 a cell. */
  readonly shade: Float64Array;
  readonly pitchPx: number;
  /**
   * Unit of the spots' co-ordinates p and q in pitches: 1, and less where the spots are narrow, so that the knots of their
   * profile lie where their light is. `toPitch` and `area` are in this unit.
   */
  readonly unit: number;
}

/**
 * The cells' places with the local stretch of the smooth map.
 *
 * @param lattice - from findLattice
 * @param hexagonal - rows lie √3/2 pitch apart instead of one
 * @param unit - of the spots' co-ordinates, in pitches
 */
export function cellsOnPicture(
  lattice: Pick<Lattice, 'x' | 'y' | 'u' | 'v' | 'warp'>,
  hexagonal: boolean,
  unit: number,
): CellsOnPicture {
  const count = lattice.x.length;
  const rowStep = hexagonal ? Math.sqrt(3) / 2 : 1;
  const toPitch = new Float64Array(4 * count);
  const area = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const [xu, xvRow, yu, yvRow] = lattice.warp.slope(lattice.u[k], lattice.v[k]);
    const xv = xvRow / rowStep;
    const yv = yvRow / rowStep;
    const determinant = xu * yv - xv * yu;
    toPitch[4 * k] = yv / determinant / unit;
    toPitch[4 * k + 1] = -xv / determinant / unit;
    toPitch[4 * k + 2] = -yu / determinant / unit;
    toPitch[4 * k + 3] = xu / determinant / unit;
    area[k] = Math.abs(determinant);
  }
  const pitchPx = Math.sqrt(area.reduce((sum, value) => sum + value, 0) / count);
  return {
    x: lattice.x,
    y: lattice.y,
    toPitch,
    area: area.map((value) => value * unit * unit),
    shade: new Float64Array(2 * count),
    pitchPx,
    unit,
  };
}

/** Where the lattice puts the cells, as plain data. */
export interface FirstPlaces {
  readonly cells: CellsOnPicture;
  /** Lattice co-ordinates of each cell: across in pitches, down in rows. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Mean distance of neighbouring cells as the lattice has it, in pixels of the reduced picture. */
  readonly pitchPx: number;
  /** 1 where a tube is stated, 0 in a hole without one. */
  readonly filled: Uint8Array;
  /** 1 where a spot was found. */
  readonly found: Uint8Array;
}

/** First places of the cells. */
export function firstPlaces(lattice: Lattice, hexagonal: boolean): FirstPlaces {
  const { u, v, pitchPx, spotUnit, filled, found } = lattice;
  return { cells: cellsOnPicture(lattice, hexagonal, spotUnit), u, v, pitchPx, filled, found };
}

/*
 * Cells are written out field by field, here and wherever they are made: the compiler then has one shape to expect. Spreads
 * give objects of a shape for each place in the code, and what was compiled for one is thrown away at the next.
 */

/** The same cells in other places. */
export function placedAt(cells: CellsOnPicture, x: Float64Array, y: Float64Array): CellsOnPicture {
  const { toPitch, area, shade, pitchPx, unit } = cells;
  return { x, y, toPitch, area, shade, pitchPx, unit };
}

/** The same cells on the picture enlarged by a factor; below 1 it is shrunk, as by reducePlane. */
export function rescaled(cells: CellsOnPicture, factor: number): CellsOnPicture {
  const place = (value: number): number => (value + 0.5) * factor - 0.5;
  return {
    x: cells.x.map(place),
    y: cells.y.map(place),
    toPitch: cells.toPitch.map((value) => value / factor),
    area: cells.area.map((value) => value * factor * factor),
    shade: cells.shade.map((value) => value / factor),
    pitchPx: cells.pitchPx * factor,
    unit: cells.unit,
  };
}

/** The same cells with their spots' co-ordinates in another unit, in pitches. */
export function inUnit(cells: CellsOnPicture, unit: number): CellsOnPicture {
  const wider = unit / cells.unit;
  return {
    ...cells,
    toPitch: cells.toPitch.map((value) => value / wider),
    area: cells.area.map((value) => value * wider * wider),
    unit,
  };
}

/** Some of the cells, in the order given. */
export function someCells(cells: CellsOnPicture, some: readonly number[]): CellsOnPicture {
  const each = (values: Float64Array, size: number) =>
    Float64Array.from(
      { length: size * some.length },
      (_, n) => values[size * some[Math.floor(n / size)] + (n % size)],
    );
  return {
    x: each(cells.x, 1),
    y: each(cells.y, 1),
    toPitch: each(cells.toPitch, 4),
    area: each(cells.area, 1),
    shade: each(cells.shade, 2),
    pitchPx: cells.pitchPx,
    unit: cells.unit,
  };
}
