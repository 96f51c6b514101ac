import type { Result } from '@twolamp/session';
import { fartherText, repairAnswer, repairDip, repairLight, repairName, repairsOf } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { answerText } from './answer-text.js';

/** A figure that may break before its uncertainty, for narrow screens. */
const breakable = (figure: string) => figure.replaceAll('\u00a0±', ' ±');

/** What pulling the first, the first five and all tubes brings, on the first screen; null where nothing is to be pulled. */
export function repairSection(result: Result): SafeHtml | null {
  const answer = repairAnswer(result);
  if (answer === null) return null;
  const list = repairsOf(result);
  const hasDip = list.some(({ dip }) => dip !== null);
  const hasDistance = list.some(({ fartherM }) => fartherM !== null);
  const table = html`<table class="repairs"><thead><tr><th scope="col">Replaced</th>${
    hasDistance ? html`<th scope="col">Separate farther by</th>` : null
  }${hasDip ? html`<th scope="col">Dip gained, thousandths</th>` : null}<th scope="col">Light gained</th></tr></thead><tbody>${list.map(
    (repair) =>
      html`<tr><th scope="row">${repairName(repair, result.pull.length)}</th>${
        hasDistance ? html`<td class="number">${breakable(fartherText(repair))}</td>` : null
      }${hasDip ? html`<td class="number">${breakable(repairDip(repair))}</td>` : null}<td class="number">${breakable(repairLight(repair))}</td></tr>`,
  )}</tbody></table>`;
  return html`<section class="answer tall">${answerText('Is repairing worth it?', answer)}${table}</section>`;
}
