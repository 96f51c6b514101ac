import { html, type SafeHtml } from '../html/html.js';

/** A column: its heading, and the class of its cells. */
interface Column {
  readonly title: string;
  readonly cells?: 'number' | 'fault';
}

type Cell = SafeHtml | string;

/**
 * A table whose rows become lists where it has little room, each cell behind its column's heading, so that nothing is cut off. The
 * roles keep it a table for screen readers then.
 *
 * @param label - names the table
 * @param rows - of cells, one a column; the first names the row
 */
export function stackedTable(
  label: string,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
): SafeHtml {
  const head = columns.map(({ title }) => html`<th scope="col" role="columnheader">${title}</th>`);
  const cell = (content: Cell, n: number) =>
    n === 0
      ? html`<th scope="row" role="rowheader">${content}</th>`
      : html`<td role="cell" class="${columns[n]!.cells ?? ''}" data-of="${columns[n]!.title}"><span>${content}</span></td>`;
  const body = rows.map((cells) => html`<tr role="row">${cells.map(cell)}</tr>`);
  return html`<div class="stacked"><table class="stacks" role="table" aria-label="${label}"><thead role="rowgroup"><tr role="row">${head}</tr></thead><tbody role="rowgroup">${body}</tbody></table></div>`;
}
