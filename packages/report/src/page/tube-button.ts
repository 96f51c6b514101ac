import { html, type SafeHtml } from '../html/html.js';

/** Opens the panel of a tube; the client script listens for it. */
export function tubeButton(row: number, column: number): SafeHtml {
  return html`<button type="button" class="tube" data-row="${row}" data-column="${column}">row ${row}, column ${column}</button>`;
}
