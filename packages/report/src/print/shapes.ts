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

/** Whether a row or column is numbered: the first, the last, and every fifth that isn't too near the last. */
export function isLabelled(number: number, last: number): boolean {
  return number === 1 || number === last || (number % LABEL_EVERY === 0 && last - number > 1);
}
