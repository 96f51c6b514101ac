import { placeLayout } from '@twolamp/optics';
import { type CellResult, placedResult, type Result } from '@twolamp/session';
import { CAUTIONS, placeFromMiddle, remedySentence, repairAnswer, tubesOnly } from '@twolamp/words';
import { gridPlace, halfSize, mirroredColumn } from '../maps/lattice.js';
import { type PageSource, sourceText, takenText } from '../page/source.js';
import { fitted, isLabelled, line, text, wrapped } from './shapes.js';
import type { Drawing, PaperPoint, Shape } from './drawing.js';
import type { Face } from './sheet.js';

/** A4 less the margins that a printer leaves free. */
const PAPER = { widthMm: 190, heightMm: 277 } as const;
const TEXT_MM = 3;
const SMALL_MM = 2.6;
/** Left edge of a map, and the room that it and its numbers take. */
const MAP = { left: { back: 0, front: 98 }, wideMm: 92, topMm: 32, highMm: 92, numbersMm: 6 } as const;
/** Smallest mark in which a number of two digits can be read. */
const LEAST_MARK_MM = 1.6;
const ARROW_MM = 5;
const ROW_MM = 4.8;
const CAUTION_MM = 4;
/** Left edges of the list's columns. */
const COLUMN = { box: 0, number: 6, row: 13, back: 24, front: 47, fault: 70, remedy: 87 } as const;

/** A tube of the pull list, with its number there. */
interface Listed {
  readonly number: number;
  readonly cell: CellResult;
}

/** An arrow that begins at a mark and points where the tube's front end is to be moved. */
function moveArrow([x, y]: PaperPoint, radiusMm: number, across: number, up: number): Shape[] {
  const length = Math.hypot(across, up);
  const [dx, dy] = [across / length, -up / length];
  const at = (along: number, aside: number): PaperPoint => [
    x + dx * along - dy * aside,
    y + dy * along + dx * aside,
  ];
  const tip = radiusMm + ARROW_MM;
  return [
    line('strong', at(radiusMm, 0), at(tip, 0)),
    line('strong', at(tip - 1.5, -1), at(tip, 0), at(tip - 1.5, 1)),
  ];
}

/** Millimetres of paper that a pitch takes, so that the array fits into half of the page. */
function pitchOnPaper(array: Result['array']): number {
  const half = halfSize(array);
  const room = { wide: MAP.wideMm - MAP.numbersMm, high: MAP.highMm - MAP.numbersMm };
  return Math.min(room.wide / (2 * half.width + 1), room.high / (2 * half.height + 1));
}

/** Lower edge of the maps. */
function mapsEnd(array: Result['array']): number {
  return MAP.topMm + MAP.numbersMm + (2 * halfSize(array).height + 1) * pitchOnPaper(array);
}

/** The array seen from one face, fitted into its half of the page, with the listed tubes filled and numbered. */
function map({ array, cells }: Result, from: Face, tubes: readonly Listed[]): Shape[] {
  const side = from === 'back' ? 1 : -1;
  const half = halfSize(array);
  const pitch = pitchOnPaper(array);
  const middle: PaperPoint = [
    MAP.left[from] + (MAP.wideMm + MAP.numbersMm) / 2,
    MAP.topMm + MAP.numbersMm + (half.height + 0.5) * pitch,
  ];
  const onPaper = (x: number, y: number): PaperPoint => [middle[0] + side * x * pitch, middle[1] + y * pitch];
  const { across, up } = placeLayout(array);
  const placeOf = ({ cell }: CellResult) => onPaper(across[cell - 1]!, -up[cell - 1]!);
  const radius = (pitch * array.tubeBoreMm) / array.backPitchMm / 2;
  const mark = Math.max(radius, LEAST_MARK_MM);
  const bores = cells.map(
    (cell): Shape => ({ kind: 'circle', at: placeOf(cell), radiusMm: radius, filled: false }),
  );
  const marks = tubes.flatMap(({ number, cell }): Shape[] => {
    const at = placeOf(cell);
    const sizeMm = mark * 1.2;
    const move = cell.cureShiftMm;
    return [
      ...(move === null ? [] : moveArrow(at, mark, side * move.across, move.up)),
      { kind: 'circle', at, radiusMm: mark, filled: true },
      { ...text([at[0], at[1] + 0.36 * sizeMm], String(number), sizeMm, 'middle'), inverse: true },
    ];
  });
  const numbers: Shape[] = [];
  if (array.arrangement !== 'packed') {
    for (let column = 1; column <= array.columns; column++) {
      const number = from === 'back' ? column : mirroredColumn(array, column);
      const [x] = onPaper(gridPlace(array, 1, column).x, 0);
      if (isLabelled(number, array.columns))
        numbers.push(text([x, MAP.topMm + MAP.numbersMm - 1.5], String(number), SMALL_MM, 'middle'));
    }
    const [left] = onPaper(-side * (half.width + 0.5), 0);
    for (let row = 1; row <= array.rows; row++) {
      const [, y] = onPaper(0, gridPlace(array, row, 1).y);
      if (isLabelled(row, array.rows)) numbers.push(text([left - 1, y + 0.9], String(row), SMALL_MM, 'end'));
    }
  }
  const title = from === 'back' ? 'From the back, where the camera stands' : 'From the front: mirrored';
  return [text([MAP.left[from] + MAP.numbersMm, MAP.topMm], title, TEXT_MM), ...bores, ...numbers, ...marks];
}

/** The head of the list, and a line a tube: a box to tick, where it is from both faces, and what to do. */
function list(array: Result['array'], tubes: readonly Listed[], topMm: number): Shape[] {
  const packed = array.arrangement === 'packed';
  const head = packed
    ? [
        text([COLUMN.row, topMm], 'tube', SMALL_MM),
        text([COLUMN.back, topMm], 'from the middle, seen from the front', SMALL_MM),
      ]
    : [
        text([COLUMN.row, topMm], 'row', SMALL_MM),
        text([COLUMN.back, topMm], 'column: back', SMALL_MM),
        text([COLUMN.front, topMm], 'column: front', SMALL_MM),
      ];
  const lines = tubes.flatMap(({ number, cell }, n): Shape[] => {
    const y = topMm + (n + 1) * ROW_MM;
    const { row, column, fault } = cell;
    const place =
      row === null || column === null
        ? [
            text([COLUMN.row, y], String(cell.cell), TEXT_MM),
            text([COLUMN.back, y], placeFromMiddle(cell, 'front'), TEXT_MM),
          ]
        : [
            text([COLUMN.row, y], String(row), TEXT_MM),
            text([COLUMN.back, y], String(column), TEXT_MM),
            text([COLUMN.front, y], String(mirroredColumn(array, column)), TEXT_MM),
          ];
    const [left, top, size] = [COLUMN.box, y - 2.8, 3.2];
    return [
      line(
        'line',
        [left, top],
        [left + size, top],
        [left + size, top + size],
        [left, top + size],
        [left, top],
      ),
      text([COLUMN.number, y], String(number), TEXT_MM),
      ...place,
      text([COLUMN.fault, y], fault, TEXT_MM),
      fitted([COLUMN.remedy, y], remedySentence(cell, 'front'), TEXT_MM, PAPER.widthMm - COLUMN.remedy),
      line('hair', [COLUMN.box, y + 1.4], [PAPER.widthMm, y + 1.4]),
    ];
  });
  return [
    ...head,
    text([COLUMN.fault, topMm], 'fault', SMALL_MM),
    text([COLUMN.remedy, topMm], 'what to do', SMALL_MM),
    line('line', [COLUMN.box, topMm + 1.4], [PAPER.widthMm, topMm + 1.4]),
    ...lines,
  ];
}

/**
 * One A4 page to take to the bench: the array from both faces, the first tubes of the pull list with what to do about
 * each, the cautions, and where it all comes from. Not to scale.
 */
export function benchPage(whole: Result, source: PageSource): Drawing {
  const result = tubesOnly(placedResult(whole));
  const { array, cells, pull, photos } = result;
  const byCell = new Map(cells.map((cell) => [cell.cell, cell]));
  const mapsBottom = mapsEnd(array);
  const listTop = mapsBottom + 13;
  const cautions = CAUTIONS.flatMap((caution) => wrapped(caution, SMALL_MM, PAPER.widthMm));
  const cautionsTop = PAPER.heightMm - cautions.length * CAUTION_MM;
  const room = Math.floor((cautionsTop - 12 - listTop) / ROW_MM);
  const tubes = pull
    .slice(0, room)
    .map(({ cell }, n): Listed => ({ number: n + 1, cell: byCell.get(cell)! }));
  const more = pull.length - tubes.length;
  const rest =
    tubes.length === 0
      ? 'No tube is worth pulling.'
      : `${array.arrangement === 'packed' ? '' : 'Rows count from the top, columns from the left of the face you look at.'}${
          more > 0 ? ` ${more} more tubes are listed in report.html and on pull-map-front.pdf.` : ''
        }`;
  const title = `${array.name}: tubes to pull`;
  const gain = repairAnswer(result)?.headline ?? '';
  return {
    title,
    ...PAPER,
    shapes: [
      fitted([0, 6], title, 5.5, PAPER.widthMm),
      fitted([0, 12], takenText(photos), TEXT_MM, PAPER.widthMm),
      fitted([0, 17], sourceText(source), TEXT_MM, PAPER.widthMm),
      fitted([0, 23], gain, TEXT_MM, PAPER.widthMm),
      ...map(result, 'back', tubes),
      ...map(result, 'front', tubes),
      fitted(
        [0, mapsBottom + 5],
        'Filled: the tubes of the list below; number 1 gains most. An arrow begins at a misaimed tube and shows which way to move its front end.',
        SMALL_MM,
        PAPER.widthMm,
      ),
      ...(tubes.length === 0 ? [] : list(array, tubes, listTop)),
      fitted([0, listTop + (tubes.length + 1) * ROW_MM + 1], rest, SMALL_MM, PAPER.widthMm),
      line('line', [0, cautionsTop - 1], [PAPER.widthMm, cautionsTop - 1]),
      ...cautions.map((caution, n) => text([0, cautionsTop + (n + 0.7) * CAUTION_MM], caution, SMALL_MM)),
    ],
  };
}
