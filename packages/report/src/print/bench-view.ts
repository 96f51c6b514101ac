import type { Drawing, PaperPoint, Shape } from './drawing.js';

/** Where a lamp, or the middle of a pair of lamps, is to stand; mm from the middle of the front face. */
export interface BenchPlace {
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
  /** Between the two lamps of a pair, side by side; null for a single lamp. */
  readonly spacingMm: number | null;
}

export interface BenchView {
  readonly title: string;
  readonly tubeLengthMm: number;
  readonly places: readonly BenchPlace[];
}

/** A4, upright. */
const PAPER = { widthMm: 210, heightMm: 297 } as const;
const EDGE_MM = 10;
const TEXT_MM = 3;
const LINE_MM = 4.5;
/** The array, the sheet and the camera are drawn in one size whatever theirs is; only the lamps' places are to scale. */
const ARRAY_MM = { deep: 14, wide: 26 } as const;
const CAMERA_MM = 26;
/** Each view: from the camera at its left to the farthest lamp at its right. */
const VIEW_MM = { height: 90, first: 68, second: 182 } as const;
const LAMP_MM = 1.2;

function text(
  at: PaperPoint,
  content: string,
  anchor: 'start' | 'middle' | 'end' = 'start',
  sizeMm = TEXT_MM,
): Shape {
  return { kind: 'text', at, text: content, sizeMm, anchor };
}

const line = (...points: PaperPoint[]): Shape => ({ kind: 'line', weight: 'line', points });

/** The camera, the sheet, the array and its normal, seen along the bench; its middle at height `y` of the paper. */
function array(frontX: number, y: number): Shape[] {
  const [backX, half] = [frontX - ARRAY_MM.deep, ARRAY_MM.wide / 2];
  const cameraX = backX - CAMERA_MM;
  return [
    line([backX, y - half], [frontX, y - half], [frontX, y + half], [backX, y + half], [backX, y - half]),
    {
      kind: 'line',
      weight: 'strong',
      points: [
        [backX - 1, y - half],
        [backX - 1, y + half],
      ],
    },
    line(
      [cameraX - 5, y - 4],
      [cameraX, y - 4],
      [cameraX, y + 4],
      [cameraX - 5, y + 4],
      [cameraX - 5, y - 4],
    ),
    line([cameraX, y - 2], [cameraX + 2, y - 2], [cameraX + 2, y + 2], [cameraX, y + 2]),
    { kind: 'circle', at: [frontX, y], radiusMm: 1, filled: true },
    {
      kind: 'line',
      weight: 'hair',
      points: [
        [cameraX + 2, y],
        [PAPER.widthMm - EDGE_MM, y],
      ],
    },
    text([cameraX - 5, y - half - 2], 'camera'),
    text([backX - 1, y + half + 4], 'sheet', 'end'),
    text([frontX, y - half - 2], 'front face', 'middle'),
    text([frontX + 2, y + 4.5], 'origin'),
  ];
}

const metres = (mm: number) => `${Number((mm / 1000).toFixed(2))} m`;

/**
 * The bench from above and from the side: camera, sheet, array, and where the lamps stand. Only the lamps' places are to
 * scale; across and up are drawn on a larger scale than distances.
 */
export function benchView({ title, tubeLengthMm, places }: BenchView): Drawing {
  const frontX = EDGE_MM + 8 + CAMERA_MM + ARRAY_MM.deep;
  const farthest = Math.max(...places.map(({ distanceMm }) => distanceMm));
  const widest = Math.max(
    1,
    ...places.flatMap(({ acrossMm, upMm, spacingMm }) => [
      Math.abs(acrossMm) + (spacingMm ?? 0) / 2,
      Math.abs(upMm),
    ]),
  );
  const scale = (PAPER.widthMm - EDGE_MM - 8 - frontX) / farthest;
  const aside = VIEW_MM.height / 2 / widest;
  const lampAt = (distanceMm: number, asideMm: number, y: number): Shape => ({
    kind: 'circle',
    at: [frontX + distanceMm * scale, y - asideMm * aside],
    radiusMm: LAMP_MM,
    filled: true,
  });
  const offAxis = (values: readonly number[]) => [...new Set(values)].filter((mm) => mm !== 0);
  const { first, second, height } = VIEW_MM;
  // From above with the camera at the left, right of the bench is towards the bottom of the paper.
  const fromAbove = places.flatMap(({ acrossMm, distanceMm, spacingMm }) =>
    (spacingMm === null ? [0] : [-spacingMm / 2, spacingMm / 2]).map((fromMiddle) =>
      lampAt(distanceMm, -(acrossMm + fromMiddle), first),
    ),
  );
  const fromSide = places.map(({ upMm, distanceMm }) => lampAt(distanceMm, upMm, second));
  const asideTicks = (values: readonly number[], y: number, sign: 1 | -1): Shape[] =>
    values.map((mm) =>
      text([PAPER.widthMm - 2, y - sign * mm * aside + 1], `${mm > 0 ? '+' : ''}${mm} mm`, 'end', 2.2),
    );
  const distances = [...new Set(places.map(({ distanceMm }) => distanceMm))];
  const notes = [
    'Across and up are drawn on a larger scale than distances.',
    `Distances count from the front face, not from the sheet: the tubes are ${tubeLengthMm} mm long.`,
    'The origin is the middle of the front face. Across grows to the right as the camera sees it, up grows upwards.',
    'Lamps at up 0 stand as high as the middle of the array. Measure to the middle of the part that shines.',
    'The camera looks straight at the middle of the sheet. It may stand anywhere from which the whole sheet is sharp.',
    'Nothing moves between shots but the lamps. Lamps get hot: keep paper, tape and plastic away from them.',
  ];
  return {
    title,
    ...PAPER,
    shapes: [
      text([EDGE_MM, 12], title, 'start', 4.5),
      text([EDGE_MM, first - height / 2 + 2], 'From above'),
      text([EDGE_MM, first - height / 2 + 6], 'top = left, bottom = right'),
      ...asideTicks(offAxis(places.map(({ acrossMm }) => acrossMm)), first, -1),
      ...array(frontX, first),
      ...fromAbove,
      ...distances.map((mm) =>
        text([frontX + mm * scale, first + height / 2 + 4], metres(mm), 'middle', 2.4),
      ),
      text([EDGE_MM, second - height / 2 + 2], 'From the side'),
      ...asideTicks(offAxis(places.map(({ upMm }) => upMm)), second, 1),
      ...array(frontX, second),
      ...fromSide,
      ...notes.map((note, n) => text([EDGE_MM, second + height / 2 + 12 + n * LINE_MM], note)),
    ],
  };
}
