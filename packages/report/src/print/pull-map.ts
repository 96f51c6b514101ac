import { placedResult, type Result } from '@twolamp/session';
import { cureSentence, placeWords } from '@twolamp/words';
import { mirroredColumn } from '../maps/lattice.js';
import { takenText } from '../page/source.js';
import type { Drawing } from './drawing.js';
import { type Face, printableSheet } from './sheet.js';

/** The pull list as a sheet at true scale, to be laid on the back or on the front of the array: cells to pull filled and numbered. */
export function pullMap(result: Result, from: Face): Drawing {
  const { array, cells, pull, photos } = placedResult(result);
  const columnSeen = (column: number) => (from === 'back' ? column : mirroredColumn(array, column));
  return printableSheet({
    array,
    title: `${array.name}: tubes to pull`,
    from,
    note: takenText(photos),
    marks: pull.map(({ cell }, i) => ({ cell, label: String(i + 1) })),
    lines: pull.flatMap((tube, i) => {
      const { row, column, fault } = tube;
      const places =
        row === null || column === null
          ? [placeWords(tube)]
          : [
              `row ${row}, column ${columnSeen(column)} from the ${from}`,
              `column ${columnSeen(mirroredColumn(array, column))} from the ${from === 'back' ? 'front' : 'back'}`,
            ];
      const cell = cells.find((one) => one.cell === tube.cell);
      const cure = cell === undefined ? '' : cureSentence(cell, from);
      return [`${i + 1}: ${places.join(', ')}: ${fault}`, ...(cure === '' ? [] : [`    ${cure}`])];
    }),
  });
}
