import { placeLayout } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { gridPlace, halfSize } from '../maps/lattice.js';
import { cameraShapes } from './camera-shapes.js';
import type { Drawing, PaperPoint, Shape } from './drawing.js';
import { isLabelled, line, text } from './shapes.js';

/** As wide as A4, and less high. */
const PAPER = { widthMm: 210, heightMm: 138 } as const;
const EDGE_MM = 10;
const TEXT_MM = 3;
const SMALL_MM = 2.5;
const LINE_MM = 4.5;
/** The view from the side: where the camera's lens, the sheet and the front face are, and the height of the middle. */
const SIDE = { cameraX: 20, sheetX: 66, frontX: 84, y: 56, half: 18 } as const;
/** The picture as it should come out: its frame, 4 : 3. */
const PICTURE = { left: 110, top: 30, wide: 88, high: 66 } as const;
/** Share of the picture's width or height that the tubes fill. */
const FILLED = 0.78;
/** Between the outermost tubes and the sheet's edge, in pitches. */
const SHEET_RIM = 1.2;

function rectangle(
  left: number,
  top: number,
  right: number,
  bottom: number,
  weight: 'line' | 'strong',
): Shape {
  return line(weight, [left, top], [right, top], [right, bottom], [left, bottom], [left, top]);
}

function fromTheSide(): Shape[] {
  const { cameraX, sheetX, frontX, y, half } = SIDE;
  const corner = 3;
  return [
    text([EDGE_MM, 24], 'From the side', TEXT_MM),
    ...cameraShapes([cameraX, y]),
    line('hair', [cameraX + 2, y], [sheetX, y]),
    // What the camera sees: a little more than the sheet.
    line('hair', [cameraX + 2, y], [sheetX, y - half - 5]),
    line('hair', [cameraX + 2, y], [sheetX, y + half + 5]),
    line('line', [sheetX - corner, y], [sheetX - corner, y - corner], [sheetX, y - corner]),
    line('strong', [sheetX, y - half - 2], [sheetX, y + half + 2]),
    rectangle(sheetX + 1, y - half, frontX, y + half, 'line'),
    text([EDGE_MM + 2, y + 9], 'camera on', TEXT_MM),
    text([EDGE_MM + 2, y + 9 + LINE_MM], 'its stand', TEXT_MM),
    text([sheetX - corner - 1, y - corner - 1.5], 'right angle', SMALL_MM, 'end'),
    text([sheetX, y + half + 8], 'sheet', TEXT_MM, 'middle'),
    text([(sheetX + frontX) / 2 + 2, y + 1], 'array', TEXT_MM, 'middle'),
  ];
}

/** The array as it should stand in the picture, with its row and column numbers. */
function picture(array: Result['array']): Shape[] {
  const half = halfSize(array);
  const pitch = Math.min(
    (FILLED * PICTURE.wide) / (2 * half.width + 1),
    (FILLED * PICTURE.high) / (2 * half.height + 1),
  );
  const middle: PaperPoint = [PICTURE.left + PICTURE.wide / 2, PICTURE.top + PICTURE.high / 2];
  const at = ({ x, y }: { x: number; y: number }): PaperPoint => [
    middle[0] + x * pitch,
    middle[1] + y * pitch,
  ];
  const { count, across, up } = placeLayout(array);
  const radiusMm = (pitch * array.tubeBoreMm) / array.backPitchMm / 2;
  const tubes = Array.from(
    { length: count },
    (_, k): Shape => ({ kind: 'circle', at: at({ x: across[k]!, y: -up[k]! }), radiusMm, filled: false }),
  );
  const [rimX, rimY] = [(half.width + SHEET_RIM) * pitch, (half.height + SHEET_RIM) * pitch];
  const columns = Array.from({ length: array.columns }, (_, i) => i + 1).flatMap((column) => {
    const [x] = at(gridPlace(array, 1, column));
    return isLabelled(column, array.columns)
      ? [text([x, middle[1] - rimY - 1], String(column), SMALL_MM, 'middle')]
      : [];
  });
  const rows = Array.from({ length: array.rows }, (_, i) => i + 1).flatMap((row) => {
    const [, y] = at(gridPlace(array, row, 1));
    return isLabelled(row, array.rows)
      ? [text([middle[0] - rimX - 1, y + 0.9], String(row), SMALL_MM, 'end')]
      : [];
  });
  return [
    text([PICTURE.left, 24], 'The picture', TEXT_MM),
    rectangle(PICTURE.left, PICTURE.top, PICTURE.left + PICTURE.wide, PICTURE.top + PICTURE.high, 'strong'),
    rectangle(middle[0] - rimX, middle[1] - rimY, middle[0] + rimX, middle[1] + rimY, 'line'),
    ...tubes,
    ...columns,
    ...rows,
  ];
}

/** How the camera stands behind the sheet, and how the array should lie in the picture. */
export function cameraView(array: Result['array']): Drawing {
  const title = `${array.name}: how the camera stands`;
  const counted =
    array.arrangement === 'packed'
      ? 'The numbers of packed tubes follow from the photo.'
      : 'Row 1, column 1 is at the top left: rows count downwards, columns to the right.';
  const notes = [
    'The camera looks at the middle of the sheet, at a right angle: a few degrees off are found and corrected.',
    'The whole sheet is inside the picture, level, and in focus from edge to edge. Zoom in by moving nearer, not digitally.',
    counted,
    'Fix focus, exposure and white balance by hand; flash, HDR and night mode off. Then nothing moves but the lamps.',
  ];
  return {
    title,
    ...PAPER,
    shapes: [
      text([EDGE_MM, 12], title, 4.5),
      ...fromTheSide(),
      ...picture(array),
      ...notes.map((note, n) =>
        text([EDGE_MM, PICTURE.top + PICTURE.high + 12 + n * LINE_MM], note, TEXT_MM),
      ),
    ],
  };
}
