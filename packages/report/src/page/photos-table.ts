import type { PhotoRecord, Result } from '@twolamp/session';
import { counted, decimal, exposure, listed, partPercent, trimmed } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { stackedTable } from './stacked-table.js';

/** Longer lists are folded away under their summary. */
const SHORT_LIST = 12;

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
      : `${clipped.length} with clipped pixels, ${partPercent(Math.max(...clipped.map(({ clippedShare }) => clippedShare)))} at most`,
    `drift up to ${decimal(Math.max(0, ...photos.map(drift)), 1)}\u00a0px`,
  ];
  return `${counted(photos.length, 'photo')}: ${parts.join('; ')}`;
}

const COLUMNS = [
  { title: 'Photo' },
  { title: 'Kind' },
  ...(['Size', 'Exposure', 'ISO', 'Clipped', 'Drift'] as const).map((title) => ({
    title,
    cells: 'number' as const,
  })),
];

function row(photo: PhotoRecord): string[] {
  return [
    photo.photo,
    photo.kind,
    `${photo.widthPx} × ${photo.heightPx}`,
    photo.exposureS === null ? 'not known' : exposure(photo.exposureS),
    photo.iso === null ? 'not known' : trimmed(photo.iso),
    photo.clippedShare === 0 ? 'none' : partPercent(photo.clippedShare),
    photo.driftPx === null ? '–' : `${photo.driftPx.map((px) => decimal(px, 1)).join(', ')}\u00a0px`,
  ];
}

/** The photos with what was noticed about each. */
export function photosTable({ photos }: Result): SafeHtml | null {
  if (photos.length === 0) return null;
  const table = stackedTable('Photos', COLUMNS, photos.map(row));
  if (photos.length <= SHORT_LIST) return table;
  return html`<details><summary>${photosSummary(photos)}</summary>${table}</details>`;
}
