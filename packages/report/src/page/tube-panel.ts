import { placeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';

/** Where the client script tells of one tube, with a form to choose any tube by its numbers. */
export function tubePanel(array: Result['array']): SafeHtml {
  const { rows, columns } = array;
  const numbers =
    array.arrangement === 'packed'
      ? html`<label>Tube <input name="cell" type="number" min="1" max="${placeLayout(array).count}" required></label>`
      : html`<label>Row <input name="row" type="number" min="1" max="${rows}" required></label><label>Column <input name="column" type="number" min="1" max="${columns}" required></label>`;
  return html`<aside class="panel" aria-label="One tube">
<form class="go" id="go">${numbers}<button>Show tube</button></form>
<div id="panel" aria-live="polite"><p class="hint">Choose a tube on a map, in a list or by its numbers: what was measured of it is shown here.</p></div>
</aside>`;
}
