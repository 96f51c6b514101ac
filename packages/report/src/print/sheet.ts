import { placeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { gridPlace, halfSize, mirroredColumn } from '../maps/lattice.js';
import type { Drawing, PaperPoint, Shape } from './drawing.js';
import { fitted, isLabelled, line, text, wrapped } from './shapes.js';
import { PRINTABLE_MM } from './tiles.js';

/** Which face the sheet is laid on; from the front the columns run the other way. */
export type Face = 'back' | 'front';

export interface SheetMark {
  /** Number of the cell. */
  readonly cell: number;
  /** Short enough to stand inside a cell. */
  readonly label: string;
}

export interface SheetRequest {
  readonly array: Result['array'];
  readonly title: string;
  readonly from: Face;
  /** Cells drawn filled, with a label. */
  readonly marks: readonly SheetMark[];
  /** Under the title: what it was made from. */
  readonly note?: string;
  /** Lines of text under the array. */
  readonly lines?: readonly string[];
}

const EDGE_MM = 4;
const HEAD_MM = 16;
/** From the outermost cells' middles to the register marks, and as much again to the paper's edge. */
const AROUND_MM = 10;
const RULER_MM = 100;
const RULER_ROOM_MM = 16;
const LINE_MM = 4.2;
const TEXT_MM = 3;
/** A long list under the array stands in two columns of smaller print, so that it and the array keep to one A4 page. */
const DENSE = { lineMm: 3.5, textMm: 2.4 } as const;
/** Height of a figure over the size of its font. */
const CAPITAL = 0.72;

/** Cross in a circle: its middle is the place to measure from. */
function registerMark([x, y]: PaperPoint): Shape[] {
  return [
    line('hair', [x - 4, y], [x + 4, y]),
    line('hair', [x, y - 4], [x, y + 4]),
    { kind: 'circle', at: [x, y], radiusMm: 2, filled: false },
  ];
}

/** A line of exactly 100 mm with a tick every 10 mm, to check the printer's scale with a rule. */
function ruler([x, y]: PaperPoint): Shape[] {
  const ticks = Array.from({ length: RULER_MM / 10 + 1 }, (_, i) => {
    const length = i % 5 === 0 ? 3 : 2;
    return line('line', [x + i * 10, y], [x + i * 10, y - length]);
  });
  return [
    line('strong', [x, y], [x + RULER_MM, y]),
    ...ticks,
    text([x, y + 4.5], `${RULER_MM} mm: check with a rule, and print at 100 % if it isn’t.`, TEXT_MM),
  ];
}

/** The list under the array, from the paper's left edge and so far below its top; a list too long for the page in two columns. */
function listUnder(
  lines: readonly string[],
  topMm: number,
  widthMm: number,
): Pick<Drawing, 'widthMm' | 'heightMm' | 'shapes'> {
  const room = (of: number) => of - 2 * EDGE_MM;
  const single = lines.flatMap((content) => wrapped(content, TEXT_MM, room(widthMm)));
  const heightMm = topMm + single.length * LINE_MM + EDGE_MM;
  if (heightMm <= PRINTABLE_MM.height || widthMm > PRINTABLE_MM.width) {
    const shapes = single.map((content, i) => text([EDGE_MM, topMm + i * LINE_MM], content, TEXT_MM));
    return { widthMm, heightMm, shapes };
  }
  const columnMm = room(PRINTABLE_MM.width) / 2;
  const dense = lines.flatMap((content) => wrapped(content, DENSE.textMm, columnMm));
  let perColumn = Math.ceil(dense.length / 2);
  // What is to be done stands with the tube that it is done to.
  while (dense[perColumn]?.startsWith(' ')) perColumn++;
  return {
    widthMm: PRINTABLE_MM.width,
    heightMm: topMm + perColumn * DENSE.lineMm + EDGE_MM,
    shapes: dense.map((content, i) => {
      const column = Math.floor(i / perColumn);
      const y = topMm + (i % perColumn) * DENSE.lineMm;
      return text([EDGE_MM + column * columnMm, y], content, DENSE.textMm);
    }),
  };
}

/**
 * A face of the array at true scale: every bore outlined, marked cells filled and labelled, rows and columns numbered, register marks
 * at the corners and a ruler to check the print.
 *
 * Seen from the front, places and column numbers are mirrored and the front pitch is used.
 */
export function printableSheet({ array, title, from, marks, note, lines = [] }: SheetRequest): Drawing {
  const side = from === 'back' ? 1 : -1;
  const pitchMm = from === 'back' ? array.backPitchMm : array.frontPitchMm;
  const layout = placeLayout(array);
  const places = Array.from({ length: layout.count }, (_, i) => ({
    x: side * layout.across[i]! * pitchMm,
    y: -layout.up[i]! * pitchMm,
  }));
  const corner = (row: number, column: number) => {
    const { x, y } = gridPlace(array, row, column);
    return { x: side * x * pitchMm, y: y * pitchMm };
  };
  /** The whole grid's rim, also where the map has no hole. */
  const half = halfSize(array);
  const [halfWidth, halfHeight] = [half.width * pitchMm, half.height * pitchMm];
  const top = HEAD_MM + 2 * AROUND_MM;
  const below = top + 2 * halfHeight + 2 * AROUND_MM;
  const list = listUnder(
    lines,
    below + RULER_ROOM_MM,
    Math.max(2 * (halfWidth + 2 * AROUND_MM), RULER_MM + 4 * EDGE_MM),
  );
  const { widthMm, heightMm } = list;
  const roomMm = widthMm - 2 * EDGE_MM;
  const onPaper = ({ x, y }: { x: number; y: number }): PaperPoint => [widthMm / 2 + x, top + halfHeight + y];

  const labels = new Map(marks.map(({ cell, label }) => [cell, label]));
  const cells = places.flatMap((place, i): Shape[] => {
    const at = onPaper(place);
    const label = labels.get(i + 1);
    const bore: Shape = { kind: 'circle', at, radiusMm: array.tubeBoreMm / 2, filled: label !== undefined };
    if (label === undefined) return [bore];
    const sizeMm = Math.min(0.7, 1.1 / label.length) * array.tubeBoreMm;
    const number: Shape = {
      ...text([at[0], at[1] + (CAPITAL / 2) * sizeMm], label, sizeMm, 'middle'),
      inverse: true,
    };
    return [bore, number];
  });
  const numberMm = Math.min(TEXT_MM, 0.8 * pitchMm);
  const near = array.tubeBoreMm / 2 + 1.5;
  const columns = Array.from({ length: array.columns }, (_, i) => i + 1);
  const columnNumbers = columns.flatMap((column) => {
    const number = from === 'back' ? column : mirroredColumn(array, column);
    const [x] = onPaper(corner(1, column));
    return isLabelled(number, array.columns)
      ? [text([x, top - near], String(number), numberMm, 'middle')]
      : [];
  });
  const rowNumbers = Array.from({ length: array.rows }, (_, i) => i + 1).flatMap((row) => {
    const [x, atY] = onPaper({ x: -halfWidth - near, y: corner(row, 1).y });
    return isLabelled(row, array.rows)
      ? [text([x, atY + (CAPITAL / 2) * numberMm], String(row), numberMm, 'end')]
      : [];
  });
  const corners = [-1, 1].flatMap((sx) =>
    [-1, 1].map((sy) => onPaper({ x: sx * (halfWidth + AROUND_MM), y: sy * (halfHeight + AROUND_MM) })),
  );
  const rows = array.arrangement === 'packed' ? '' : ' Rows from the top, columns from the left';
  const view =
    from === 'back'
      ? `Seen from the back.${rows && `${rows}.`}`
      : `Seen from the front: mirrored.${rows && `${rows} as you stand before it.`}`;
  return {
    title,
    widthMm,
    heightMm,
    shapes: [
      fitted([EDGE_MM, 8], title, 4.5, roomMm),
      fitted([EDGE_MM, 13], view, TEXT_MM, roomMm),
      ...(note === undefined ? [] : [fitted([EDGE_MM, 17.5], note, TEXT_MM, roomMm)]),
      ...columnNumbers,
      ...rowNumbers,
      ...corners.flatMap(registerMark),
      ...cells,
      ...ruler([EDGE_MM, below + 4]),
      ...list.shapes,
    ],
  };
}
