import type { CellResult, Evidence, Result } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { markTurnDeg } from '../maps/marks.js';

type Picture = NonNullable<Evidence['picture']>;

function at(value: number): string {
  return value.toFixed(1);
}

/** Every so many rows and columns have their number. */
const LABEL_EVERY = 5;
/** Size of the numbers, and from a tube's middle to them, in pitches. */
const LABEL = { size: 0.7, away: 0.75 } as const;
/** Width of a number of two figures over its size. */
const LABEL_WIDTH = 1.3;

/** Row and column numbers beside the first tube of every fifth row and column, in steps of the lattice. */
function numbers({ cells }: Result, place: (px: number) => number, pitch: number): SafeHtml {
  const size = LABEL.size * pitch;
  const isLabelled = (number: number) => number === 1 || number % LABEL_EVERY === 0;
  const firsts = (of: 'row' | 'column', along: 'row' | 'column') => {
    const first = new Map<number, CellResult>();
    for (const cell of cells) {
      const [number, step] = [cell[of], cell[along]];
      // Packed tubes have no rows and columns.
      if (number === null || step === null || !isLabelled(number)) continue;
      const before = first.get(number);
      if (before === undefined || step < (before[along] ?? step)) first.set(number, cell);
    }
    return [...first.values()];
  };
  const rows = firsts('row', 'column').map(
    ({ row, xPx, yPx }) =>
      html`<text x="${at(place(xPx) - LABEL.away * pitch)}" y="${at(place(yPx) + 0.36 * size)}" text-anchor="end">${row}</text>`,
  );
  const columns = firsts('column', 'row').map(
    ({ column, xPx, yPx }) =>
      html`<text x="${at(place(xPx))}" y="${at(place(yPx) - LABEL.away * pitch)}" text-anchor="middle">${column}</text>`,
  );
  return html`<g class="labels" font-size="${at(size)}">${rows}${columns}</g>`;
}

/** The even shot with every found cell marked at its place; pixel centres lie on whole numbers. */
export function photoFigure(result: Result, picture: Picture, pitchPx: number): SafeHtml {
  const place = (px: number) => (px + 0.5) / picture.scale;
  const pitch = pitchPx / picture.scale;
  const ring = 0.16 * pitch;
  const path = (seen: boolean, draw: (x: number, y: number) => string) =>
    result.cells
      .filter((cell) => cell.seen === seen)
      .map((cell) => draw(place(cell.xPx), place(cell.yPx)))
      .join('');
  const dots = path(true, (x, y) => `M${at(x)} ${at(y)}h0`);
  const arc = (side: number) => `a${at(ring)} ${at(ring)} 0 1 0 ${at(2 * ring * side)} 0`;
  const rings = path(false, (x, y) => `M${at(x - ring)} ${at(y)}${arc(1)}${arc(-1)}`);
  const unseen = result.cells.filter((cell) => !cell.seen).length;
  const marks = result.cells.flatMap((cell) => {
    if (cell.fault === 'none') return [];
    const [x, y] = [place(cell.xPx), place(cell.yPx)];
    const turn = markTurnDeg(cell);
    const turned = turn === 0 ? null : html` transform="rotate(${at(turn)} ${at(x)} ${at(y)})"`;
    return html`<use href="#mark-${cell.fault}" x="${at(x - pitch * 0.38)}" y="${at(y - pitch * 0.38)}" width="${at(pitch * 0.76)}" height="${at(pitch * 0.76)}"${turned}/>`;
  });
  // The photo, and what of the numbers stands outside of it.
  const nearest = (of: 'xPx' | 'yPx') => Math.min(...result.cells.map((cell) => place(cell[of])));
  const left = Math.max(0, (LABEL.away + LABEL_WIDTH * LABEL.size) * pitch - nearest('xPx'));
  const top = Math.max(0, (LABEL.away + LABEL.size) * pitch - nearest('yPx'));
  const box = [-left, -top, picture.widthPx + left, picture.heightPx + top];
  const alt = `Photo ${picture.photo} with ${result.cells.length - unseen} found cells marked, and ${unseen} places where no light was found.`;
  return html`<figure class="photo"><svg class="map" viewBox="${box.map(at).join(' ')}" role="img" aria-label="${alt}" data-map="photo"><image id="photo-image" href="${picture.jpeg}" width="${picture.widthPx}" height="${picture.heightPx}"/><path class="found" stroke-width="${at(pitch * 0.2)}" d="${dots}"/><path class="unseen" stroke-width="${at(pitch * 0.08)}" d="${rings}"/>${numbers(result, place, pitch)}<g class="marks">${marks}</g><circle class="picked" r="${at(pitch * 0.6)}" hidden/></svg><figcaption>${picture.photo}, with the cells as found (a cell is the spot that one tube’s light makes on the sheet): a dot where light was found${unseen === 0 ? '' : ', a ring where only the lattice tells the place'}.</figcaption></figure>`;
}
