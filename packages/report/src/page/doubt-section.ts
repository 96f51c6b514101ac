import { html, type SafeHtml } from '../html/html.js';

/**
 * What a session states and its photos contradict, at the head of a page.
 *
 * @param says - a sentence each
 * @returns null where nothing is doubted
 */
export function doubtSection(says: readonly string[]): SafeHtml | null {
  if (says.length === 0) return null;
  return html`<section class="unmeasured" aria-labelledby="doubtful"><h2 id="doubtful">The session doesn’t fit its photos</h2>${says.map(
    (sentence) => html`<p>${sentence}</p>`,
  )}</section>`;
}
