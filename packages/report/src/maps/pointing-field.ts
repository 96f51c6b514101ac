import type { Result } from '@twolamp/session';
import { Matrix, solve } from 'ml-matrix';
import { cellPlace } from './lattice.js';

export interface PointingError {
  /** Number of the cell. */
  readonly cell: number;
  /** As in the result. */
  readonly errorDeg: number;
  /** Direction of the error, a unit vector: x right, y down, seen from the back; null where no direction stands out. */
  readonly towards: { readonly x: number; readonly y: number } | null;
}

const TERMS = 6;

/**
 * Which way each tube looks aside. The result says by how much; the direction is that of its departure from a surface of the second
 * degree through the pointing of the healthy tubes, fitted by least squares.
 */
export function pointingErrors({ array, cells }: Pick<Result, 'array' | 'cells'>): PointingError[] {
  const pointed = cells.flatMap((cell) => {
    if (cell.pointing === null || cell.pointing.errorDeg === null) return [];
    const { x, y } = cellPlace(array, cell.cell);
    return {
      cell,
      pointing: cell.pointing,
      errorDeg: cell.pointing.errorDeg,
      terms: [1, x, y, x * x, x * y, y * y],
    };
  });
  const healthy = pointed.filter(({ cell }) => cell.fault === 'none');
  const field =
    healthy.length < TERMS
      ? null
      : solve(
          new Matrix(healthy.map(({ terms }) => terms)),
          new Matrix(healthy.map(({ pointing }) => [pointing.acrossDeg, pointing.upDeg])),
          true,
        );
  return pointed.map(({ cell: { cell }, pointing, errorDeg, terms }) => {
    if (field === null) return { cell, errorDeg, towards: null };
    const expected = new Matrix([terms]).mmul(field);
    const x = pointing.acrossDeg - expected.get(0, 0);
    const y = expected.get(0, 1) - pointing.upDeg;
    const length = Math.hypot(x, y);
    return { cell, errorDeg, towards: length > 0 ? { x: x / length, y: y / length } : null };
  });
}
