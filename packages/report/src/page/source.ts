import type { PhotoRecord } from '@twolamp/session';
import { listed } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';

/** Where a page comes from, which its foot says. */
export interface PageSource {
  /** The files that it was made from, as a person finds them again. */
  readonly files: readonly string[];
  /** Day on which it is written, as `2026-11-30`. */
  readonly writtenOn: string;
}

/** A date's day by the clock of this place, as a {@link PageSource} has it. */
export function localDay(date: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

const MONTHS = 'January February March April May June July August September October November December'.split(
  ' ',
);

/** “30 November 2026” of a date or a time that begins with one. */
function dayText(date: string): string {
  const [year, month, day] = date.slice(0, 10).split('-').map(Number);
  return `${day} ${MONTHS[month! - 1]} ${year}`;
}

/** “Written on 30 November 2026 from measured/result.json.” */
export function sourceText({ files, writtenOn }: PageSource): string {
  return `Written on ${dayText(writtenOn)} from ${listed(files)}.`;
}

export function sourceLine(source: PageSource): SafeHtml {
  return html`<p>${sourceText(source)}</p>`;
}

/** The day on which the photos were taken, by the camera's clock; null where none says. */
export function shotOn(photos: readonly PhotoRecord[]): string | null {
  const days = photos.flatMap(({ takenAt }) => (takenAt ? takenAt.slice(0, 10) : [])).sort();
  if (days.length === 0) return null;
  const [first, last] = [days[0]!, days.at(-1)!];
  return first === last ? dayText(first) : `${dayText(first)} to ${dayText(last)}`;
}

/** “Photos of 28 November 2026; even shot IMG_2042.jpg.” */
export function takenText(photos: readonly PhotoRecord[]): string {
  const even = photos.find(({ kind }) => kind === 'even');
  const day = shotOn(photos);
  return `Photos ${day === null ? 'without a date' : `of ${day}`}${even ? `; even shot ${even.photo}` : ''}.`;
}
