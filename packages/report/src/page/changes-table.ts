import type { Comparison, TubeChange, TubeVerdict } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { markIcon } from '../maps/marks.js';
import { decimal, plusMinus, ratioDecimals, ratioPlusMinus } from '../words/quantity.js';
import { tubeButton } from './tube-button.js';

const ORDER: readonly TubeVerdict[] = ['new fault', 'worse', 'still faulty', 'mended', 'changed'];

function faultCell(fault: TubeChange['faultLater']): SafeHtml {
  return html`<td class="fault">${fault === 'none' ? null : markIcon(fault)} ${fault}</td>`;
}

function beforeAndAfter({ earlier, later, uncertainty }: NonNullable<TubeChange['transmission']>): string {
  const decimals = ratioDecimals(uncertainty);
  return `${decimal(earlier, decimals)} → ${decimal(later, decimals)}`;
}

function line({
  cell,
  row,
  column,
  verdict,
  faultEarlier,
  faultLater,
  transmission,
  pointing,
}: TubeChange): SafeHtml {
  const moved = pointing ? Math.hypot(pointing.acrossDeg, pointing.upDeg) : null;
  return html`<tr><th scope="row">${tubeButton({ cell, row, column })}</th><td class="fault">${verdict}</td>${faultCell(faultEarlier)}${faultCell(faultLater)}
<td class="number">${transmission ? beforeAndAfter(transmission) : '–'}</td>
<td class="number">${transmission ? ratioPlusMinus(transmission.change, transmission.uncertainty) : '–'}</td>
<td class="number">${pointing && moved !== null ? plusMinus(moved, pointing.uncertaintyDeg, '°') : '–'}</td></tr>`;
}

/** The tubes that changed or need work, worst news first, the larger change first within a verdict. */
export function changesTable({ tubes }: Comparison): SafeHtml {
  const size = ({ transmission }: TubeChange) => Math.abs(transmission?.change ?? 0);
  const listed = tubes
    .filter(({ verdict }) => verdict !== 'unchanged')
    .sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict) || size(b) - size(a));
  if (listed.length === 0) return html`<p>No tube has changed.</p>`;
  return html`<div class="scroll" tabindex="0" role="group" aria-label="Table of tubes"><table><thead><tr>
<th scope="col">From the back</th><th scope="col">Verdict</th><th scope="col">Fault earlier</th><th scope="col">Fault later</th>
<th scope="col">Transmission</th><th scope="col">Change</th><th scope="col">Pointing moved</th></tr></thead><tbody>${listed.map(line)}</tbody></table></div>`;
}
