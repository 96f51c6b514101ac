import type { CellResult, Result } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { mirroredColumn } from '../maps/lattice.js';
import { markIcon } from '../maps/marks.js';
import { reasonsText } from '../words/findings/index.js';
import { decimal, percentPlusMinus, plusMinus, significant } from '../words/quantity.js';
import { tubeButton } from './tube-button.js';

function cellFinder(result: Result): (row: number, column: number) => CellResult | undefined {
  const byPlace = new Map(result.cells.map((cell) => [`${cell.row}/${cell.column}`, cell]));
  return (row, column) => byPlace.get(`${row}/${column}`);
}

/** What the builder can do short of replacing a tube. */
function cure(cell: CellResult): string {
  if (cell.cureShiftMm === null) return '';
  const { across, up } = cell.cureShiftMm;
  const size = (mm: number) => `${decimal(Math.abs(mm), 1)}\u00a0mm`;
  return `Move its front end ${size(across)} to the ${across > 0 ? 'right' : 'left'} and ${size(up)} ${up > 0 ? 'up' : 'down'}, seen from the back.`;
}

/**
 * Every faulty tube, pull list first and in its order, then the rest.
 */
export function pullTable(result: Result): SafeHtml {
  const hasDips = result.pull.some(({ dipGain }) => dipGain !== null);
  const find = cellFinder(result);
  const pulled = new Set(result.pull.map(({ row, column }) => `${row}/${column}`));
  const rest = result.cells.filter(
    (cell) => cell.fault !== 'none' && !pulled.has(`${cell.row}/${cell.column}`),
  );
  const line = (
    place: string,
    cell: CellResult,
    gain: string,
    dip: string,
  ) => html`<tbody><tr class="with-reason">
<th scope="row">${place}</th><td>${tubeButton(cell.row, cell.column)}</td><td class="number">${mirroredColumn(result.array, cell.column)}</td>
<td class="fault">${cell.fault === 'none' ? null : markIcon(cell.fault)} ${cell.fault}</td>
<td class="number">${cell.transmission.relative === null ? '–' : plusMinus(cell.transmission.relative, cell.transmission.relativeUncertainty)}</td>
<td class="number">${gain}</td>${hasDips ? html`<td class="number">${dip}</td>` : null}</tr>
<tr class="because"><td></td><td colspan="${hasDips ? 6 : 5}">${reasonsText(cell.reasons)} ${cure(cell)}</td></tr></tbody>`;
  const lines = [
    ...result.pull.flatMap(({ row, column, gain, gainUncertainty, dipGain, dipGainUncertainty }, i) => {
      const cell = find(row, column);
      if (cell === undefined) return [];
      const dip = dipGain === null ? '–' : plusMinus(dipGain, dipGainUncertainty);
      const light =
        gainUncertainty === null
          ? `${significant(gain * 100, 2)}\u00a0%`
          : percentPlusMinus(gain, gainUncertainty);
      return line(String(i + 1), cell, light, dip);
    }),
    ...rest.map((cell) => line('–', cell, '–', '–')),
  ];
  if (lines.length === 0) return html`<p>No tube needs work.</p>`;
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Tubes that need work"><table><thead><tr>
<th scope="col">Pull</th><th scope="col">From the back</th><th scope="col">Column from the front</th><th scope="col">Fault</th>
<th scope="col">Relative transmission</th><th scope="col">Light gained</th>${hasDips ? html`<th scope="col">Dip gained</th>` : null}</tr></thead>${lines}</table></div><p class="note">What the array gains when this tube becomes typical, reckoned with the measured model: light where it is due, as a share of the whole array’s${hasDips ? '; and the change of the dip of two lamps at the resolving distance, meant over the array' : ''}.</p>`;
}
