import type { FindingPlace } from '@twolamp/session';
import { placeWords } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';

/** Opens the panel of a tube; the client script listens for it. */
export function tubeButton(tube: FindingPlace): SafeHtml {
  return html`<button type="button" class="tube" data-cell="${tube.cell}">${placeWords(tube)}</button>`;
}
