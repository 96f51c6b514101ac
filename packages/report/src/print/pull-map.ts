import type { Result } from '@twolamp/session';
import { mirroredColumn } from '../maps/lattice.js';
import type { Drawing } from './drawing.js';
import { type Face, printableSheet } from './sheet.js';

/** The pull list as a sheet at true scale, to be laid on the back or on the front of the array: cells to pull filled and numbered. */
export function pullMap(result: Result, from: Face): Drawing {
  const { array, pull } = result;
  const columnSeen = (column: number) => (from === 'back' ? column : mirroredColumn(array, column));
  return printableSheet({
    array,
    title: `${array.name}: tubes to pull`,
    from,
    marks: pull.map(({ row, column }, i) => ({ row, column, label: String(i + 1) })),
    lines: pull.map(
      ({ row, column, fault }, i) => `${i + 1}: row ${row}, column ${columnSeen(column)}, ${fault}`,
    ),
  });
}
