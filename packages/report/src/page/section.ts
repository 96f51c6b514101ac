import { html, type SafeHtml } from '../html/html.js';

/** A part of the evidence; the id is where the contents lead. */
export interface Section {
  readonly id: string;
  readonly title: string;
  readonly body: SafeHtml;
}

/** Leaves out what has nothing to show. */
export function present(
  sections: readonly { readonly id: string; readonly title: string; readonly body: SafeHtml | null }[],
): Section[] {
  return sections.flatMap(({ id, title, body }) => (body === null ? [] : { id, title, body }));
}

export function contents(sections: readonly Section[]): SafeHtml {
  return html`<nav class="contents" aria-label="Evidence"><ul>${sections.map(
    ({ id, title }) => html`<li><a href="#${id}">${title}</a></li>`,
  )}</ul></nav>`;
}

export function sectionList(sections: readonly Section[]): SafeHtml {
  return html`<div class="sections">${sections.map(
    ({ id, title, body }) =>
      html`<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>${body}</section>`,
  )}</div>`;
}
