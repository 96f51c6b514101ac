import type { PaperPoint, Shape, Weight } from './drawing.js';

type Text = Extract<Shape, { kind: 'text' }>;

/** Width of a letter over its size, on the average. */
const LETTER = 0.52;
const LABEL_EVERY = 5;

export function line(weight: Weight, ...points: PaperPoint[]): Shape {
  return { kind: 'line', weight, points };
}

export function text(
  at: PaperPoint,
  content: string,
  sizeMm: number,
  anchor: Text['anchor'] = 'start',
): Text {
  return { kind: 'text', at, text: content, sizeMm, anchor };
}

/** Text that keeps to a width: smaller where it would be longer. */
export function fitted(at: PaperPoint, content: string, sizeMm: number, widthMm: number): Text {
  return text(at, content, Math.min(sizeMm, widthMm / (LETTER * content.length)));
}

/** Text broken into lines that keep to a width. */
export function wrapped(content: string, sizeMm: number, widthMm: number): string[] {
  const most = Math.floor(widthMm / (LETTER * sizeMm));
  const lines: string[] = [];
  for (const word of content.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

/** Whether a row or column is numbered: the first, the last, and every fifth that isn't too near the last. */
export function isLabelled(number: number, last: number): boolean {
  return number === 1 || number === last || (number % LABEL_EVERY === 0 && last - number > 1);
}
