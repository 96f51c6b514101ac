import type { Evidence, Result } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { markTurnDeg } from '../maps/marks.js';

type Picture = NonNullable<Evidence['picture']>;

function at(value: number): string {
  return value.toFixed(1);
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
  const alt = `Photo ${picture.photo} with ${result.cells.length - unseen} found cells marked, and ${unseen} places where no light was found.`;
  return html`<figure class="photo"><svg class="map" viewBox="0 0 ${picture.widthPx} ${picture.heightPx}" role="img" aria-label="${alt}" data-map="photo"><image id="photo-image" href="${picture.jpeg}" width="${picture.widthPx}" height="${picture.heightPx}"/><path class="found" stroke-width="${at(pitch * 0.2)}" d="${dots}"/><path class="unseen" stroke-width="${at(pitch * 0.08)}" d="${rings}"/><g class="marks">${marks}</g><circle class="picked" r="${at(pitch * 0.6)}" hidden/></svg><figcaption>${picture.photo}, with the cells as found: a dot where light was found${unseen === 0 ? '' : ', a ring where only the lattice tells the place'}.</figcaption></figure>`;
}
