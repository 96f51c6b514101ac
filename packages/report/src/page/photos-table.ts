import type { PhotoRecord, Result } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { counted, decimal, exposure, listed, significant, trimmed } from '../words/quantity.js';

/** Longer lists are folded away under their summary. */
const SHORT_LIST = 12;

function percent(share: number): string {
  return `${significant(share * 100, 2)}\u00a0%`;
}

function drift({ driftPx }: PhotoRecord): number {
  return driftPx === null ? 0 : Math.hypot(...driftPx);
}

/** “84 photos: 1 dark, 1 even, …; 2 with clipped pixels, 0.040 % at most; drift up to 0.3 px”. */
export function photosSummary(photos: readonly PhotoRecord[]): string {
  const kinds = new Map<string, number>();
  for (const { kind } of photos) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  const clipped = photos.filter(({ clippedShare }) => clippedShare > 0);
  const parts = [
    listed([...kinds].map(([kind, count]) => `${count} ${kind}`)),
    clipped.length === 0
      ? 'no clipped pixels'
      : `${clipped.length} with clipped pixels, ${percent(Math.max(...clipped.map(({ clippedShare }) => clippedShare)))} at most`,
    `drift up to ${decimal(Math.max(0, ...photos.map(drift)), 1)}\u00a0px`,
  ];
  return `${counted(photos.length, 'photo')}: ${parts.join('; ')}`;
}

function line(photo: PhotoRecord): SafeHtml {
  return html`<tr><th scope="row">${photo.photo}</th><td>${photo.kind}</td><td class="number">${photo.widthPx} × ${photo.heightPx}</td>
<td class="number">${photo.exposureS === null ? 'not known' : exposure(photo.exposureS)}</td>
<td class="number">${photo.iso === null ? 'not known' : trimmed(photo.iso)}</td>
<td class="number">${photo.clippedShare === 0 ? 'none' : percent(photo.clippedShare)}</td>
<td class="number">${photo.driftPx === null ? '–' : `${photo.driftPx.map((px) => decimal(px, 1)).join(', ')}\u00a0px`}</td></tr>`;
}

/** The photos with what was noticed about each. */
export function photosTable({ photos }: Result): SafeHtml | null {
  if (photos.length === 0) return null;
  const table = html`<div class="scroll" tabindex="0" role="group" aria-label="Photos"><table><thead><tr>
<th scope="col">Photo</th><th scope="col">Kind</th><th scope="col">Size</th><th scope="col">Exposure</th><th scope="col">ISO</th>
<th scope="col">Clipped</th><th scope="col">Drift</th></tr></thead><tbody>${photos.map(line)}</tbody></table></div>`;
  if (photos.length <= SHORT_LIST) return table;
  return html`<details><summary>${photosSummary(photos)}</summary>${table}</details>`;
}
