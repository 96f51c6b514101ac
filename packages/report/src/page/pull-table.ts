import type { CellResult, PullEntry, Result } from '@twolamp/session';
import {
  cureSentence,
  dipGainText,
  percentPlusMinus,
  placeFromMiddle,
  ratioPlusMinus,
  reasonsText,
} from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { mirroredColumn } from '../maps/lattice.js';
import { markIcon } from '../maps/marks.js';
import { tubeButton } from './tube-button.js';

function figures({ transmission }: CellResult, pulled: PullEntry | null): string {
  const { relative, relativeUncertainty } = transmission;
  const gained =
    pulled === null
      ? []
      : [
          `light gained ${percentPlusMinus(pulled.gain, pulled.gainUncertainty)}`,
          ...(pulled.dipGain === null
            ? []
            : [`dip gained ${dipGainText(pulled.dipGain, pulled.dipGainUncertainty)} thousandths`]),
        ];
  const light =
    relative === null ? [] : [`relative transmission ${ratioPlusMinus(relative, relativeUncertainty)}`];
  return [...light, ...gained].join(' · ');
}

function item({ array }: Result, cell: CellResult, pulled: PullEntry | null): SafeHtml {
  const { row, column, fault } = cell;
  const otherwise =
    row === null || column === null
      ? `${placeFromMiddle(cell, 'back')} of the middle, seen from the back`
      : `from the front: row ${row}, column ${mirroredColumn(array, column)}`;
  return html`<li><p class="who">${tubeButton(cell)} <span>${otherwise}</span> <span class="fault">${
    fault === 'none' ? null : markIcon(fault)
  } ${fault}</span></p>
<p>${reasonsText(cell.reasons)} ${cureSentence(cell)}</p><p class="figures">${figures(cell, pulled)}</p></li>`;
}

/** Every faulty tube, pull list first and in its order, then the rest. */
export function pullTable(result: Result): SafeHtml {
  const byCell = new Map(result.cells.map((cell) => [cell.cell, cell]));
  const listed = new Set(result.pull.map(({ cell }) => cell));
  const rest = result.cells.filter(({ cell, fault }) => fault !== 'none' && !listed.has(cell));
  const pulled = result.pull.flatMap((entry) => {
    const cell = byCell.get(entry.cell);
    return cell === undefined ? [] : item(result, cell, entry);
  });
  if (pulled.length + rest.length === 0) return html`<p>No tube needs work.</p>`;
  const gains =
    pulled.length === 0
      ? null
      : html`<p class="note">Best gain first. Gained is what the array gains when this tube is replaced by a typical one: light where it belongs, as a share of the whole array’s, and dip between two lamps at the resolving distance, as the mean over the array. To print: the bench page (one A4 page with the first tubes) and the pull maps at true scale lie beside this report.</p><ol class="pulls">${pulled}</ol>`;
  const others =
    rest.length === 0
      ? null
      : html`<h3>Faulty, but not on the pull list</h3><ul class="pulls">${rest.map((cell) => item(result, cell, null))}</ul>`;
  return html`${gains}${others}`;
}
