import { lengthM, upText } from '@twolamp/words';
import type { PaperPoint, Shape } from './drawing.js';
import { line, text } from './shapes.js';

/** Where a single lamp stands, mm from the middle of the front face. */
export interface SinglePlace {
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
}

const TEXT_MM = 3;
const SMALL_MM = 2.5;
const LAMP_MM = 1.2;
/** Left of the outermost lamp, for the heights. */
const HEIGHTS_MM = 22;
/** Places across that stand nearer together than this have their labels on two lines. */
const LABEL_MM = 6;

const different = (values: readonly number[]) => [...new Set(values)].sort((a, b) => a - b);

/**
 * The single lamps as the camera looks at them, numbered in the order of their shots, across and up to one scale. Nothing
 * where there is none.
 *
 * @param lamps - in the order of their shots
 * @param top - left top corner of the view on the paper
 * @param widthMm - of the view
 * @param heightMm - of the view
 */
export function lampView(
  lamps: readonly SinglePlace[],
  top: PaperPoint,
  widthMm: number,
  heightMm: number,
): Shape[] {
  if (lamps.length === 0) return [];
  const [left, y] = top;
  const reach = (of: (lamp: SinglePlace) => number) => Math.max(1, ...lamps.map((one) => Math.abs(of(one))));
  const [wide, high] = [widthMm - 2 * HEIGHTS_MM, heightMm - 24];
  const scale = Math.min(wide / 2 / reach((one) => one.acrossMm), high / 2 / reach((one) => one.upMm));
  const middle = [left + widthMm / 2, y + 8 + high / 2] as const;
  const across = (mm: number) => middle[0] + mm * scale;
  const up = (mm: number) => middle[1] - mm * scale;
  const [outermost, bottom] = [across(-reach((one) => one.acrossMm)), middle[1] + high / 2 + 4];
  const columns = different(lamps.map(({ acrossMm }) => acrossMm)).filter((mm) => mm !== 0);
  const lower: boolean[] = [];
  for (const [n, mm] of columns.entries()) {
    lower.push(n > 0 && !lower[n - 1] && (mm - columns[n - 1]!) * scale < LABEL_MM);
  }
  const below = bottom + 4;
  const distances = different(lamps.map(({ distanceMm }) => distanceMm)).map((mm) => lengthM(mm / 1000));
  return [
    text(
      [left, y],
      `Single lamps, ${distances.join(', ')} away, as the camera sees them; numbered in the order of their shots`,
      TEXT_MM,
    ),
    line('hair', [outermost, middle[1]], [across(reach((one) => one.acrossMm)), middle[1]]),
    line('hair', [middle[0], middle[1] - high / 2], [middle[0], bottom]),
    ...different(lamps.map(({ upMm }) => upMm)).flatMap((mm) => [
      line('hair', [outermost - 3, up(mm)], [outermost - 1, up(mm)]),
      text([outermost - 4, up(mm) + 0.9], mm === 0 ? 'up 0' : upText(mm), SMALL_MM, 'end'),
    ]),
    ...columns.flatMap((mm, n) => [
      line('hair', [across(mm), bottom - 1], [across(mm), bottom + 1]),
      text([across(mm), below + (lower[n] ? 3.5 : 0)], String(Math.abs(mm)), SMALL_MM, 'middle'),
    ]),
    ...(columns.length === 0
      ? []
      : [
          text([outermost - 4, below], 'mm left', SMALL_MM, 'end'),
          text([across(reach((one) => one.acrossMm)) + 4, below], 'mm right', SMALL_MM),
        ]),
    ...lamps.flatMap(({ acrossMm, upMm }, n): Shape[] => [
      { kind: 'circle', at: [across(acrossMm), up(upMm)], radiusMm: LAMP_MM, filled: true },
      text([across(acrossMm) + LAMP_MM + 1, up(upMm) + 0.9], String(n + 1), TEXT_MM),
    ]),
  ];
}
