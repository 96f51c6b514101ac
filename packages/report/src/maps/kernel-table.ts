import type { CrosstalkSummary } from '@twolamp/session';
import { counted, decimal, decimalsFor, percentPlusMinus } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { colourAt, LAMPLIGHT, luminance } from './colour-scale.js';

/** Shares are coloured by their logarithm, from this one up to the largest outside the middle. */
const LEAST_SHARE = 1e-5;

function shadeOf(share: number, largest: number): string {
  if (!(share > LEAST_SHARE)) return colourAt(LAMPLIGHT, 0);
  return colourAt(
    LAMPLIGHT,
    Math.log(share / LEAST_SHARE) / Math.log(Math.max(largest, 2 * LEAST_SHARE) / LEAST_SHARE),
  );
}

function signed(offset: number): string {
  return offset > 0 ? `+${offset}` : String(offset).replace('-', '\u2212');
}

/** Percent, with the decimals that its uncertainty justifies, three at most; nothing is shown as less than none. */
function shareText(share: number, uncertainty: number | null): string {
  const decimals =
    uncertainty === null ? MOST_DECIMALS : Math.min(MOST_DECIMALS, decimalsFor(100 * uncertainty));
  return decimal(Math.max(0, 100 * share), decimals);
}
const MOST_DECIMALS = 3;

/** Mean share of the light by offset from the lit tube, as numbers on their colour. */
export function kernelTable({
  kernel,
  kernelUncertainty,
  tubesTested,
  meanTotal,
  meanTotalUncertainty,
}: CrosstalkSummary): SafeHtml {
  const middleRow = (kernel.length - 1) / 2;
  const middleColumn = ((kernel[0]?.length ?? 1) - 1) / 2;
  const isLit = (row: number, column: number) => row === middleRow && column === middleColumn;
  const largest = Math.max(
    ...kernel.flatMap((shares, row) => shares.filter((_, column) => !isLit(row, column))),
  );
  const cell = (share: number, row: number, column: number) => {
    if (isLit(row, column)) return html`<td class="lit">lit tube</td>`;
    const colour = shadeOf(share, largest);
    const ink = luminance(colour) > 0.2 ? '#120d09' : '#f7f1e5';
    return html`<td style="background:${colour};color:${ink}">${shareText(share, kernelUncertainty[row]?.[column] ?? null)}</td>`;
  };
  return html`<figure><div class="scroll" tabindex="0" role="group" aria-label="Crosstalk by offset"><table class="kernel"><thead><tr><th scope="col"><span class="unseen-text">rows down, columns right</span></th>${kernel[0]?.map((_, column) => html`<th scope="col">${signed(column - middleColumn)}</th>`) ?? null}</tr></thead><tbody>${kernel.map(
    (shares, row) =>
      html`<tr><th scope="row">${signed(row - middleRow)}</th>${shares.map((share, column) => cell(share, row, column))}</tr>`,
  )}</tbody></table></div><figcaption>Crosstalk by offset from the lit tube, in percent of the light entering it: rows downwards, columns to the right, seen from the back. Mean of ${counted(tubesTested, 'tested tube')}; together ${percentPlusMinus(meanTotal, meanTotalUncertainty)}.</figcaption></figure>`;
}
