import { lengthM } from '@twolamp/words';
import { cameraShapes } from './camera-shapes.js';
import type { Drawing, Shape } from './drawing.js';
import { lampView } from './lamp-view.js';
import { line, text } from './shapes.js';

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
  /** In the order of their shots. */
  readonly places: readonly BenchPlace[];
}

/** A4, less a margin that every printer leaves. */
const PAPER = { widthMm: 210, heightMm: 284 } as const;
const EDGE_MM = 10;
const TEXT_MM = 3;
const SMALL_MM = 2.5;
const LINE_MM = 4.5;
/** The array, the sheet and the camera are drawn in one size whatever theirs is; only the lamps' places are to scale. */
const ARRAY_MM = { deep: 14, wide: 26 } as const;
const CAMERA_MM = 26;
/** Each view: from the camera at its left to the farthest lamp at its right, its middle so far below the paper's edge. */
const VIEW_MM = { height: 60, above: 59, side: 138 } as const;
/** The single lamps from the camera: below the other views. */
const LAMPS_MM = { top: 177, height: 72 } as const;
/** Width of a distance's label. */
const LABEL_MM = 12;
/** Right of the farthest lamp, for what stands beside it. */
const LABEL_ROOM_MM = 26;
const LAMP_MM = 1.2;

/** The camera, the sheet, the array and its normal, seen along the bench; its middle at height `y` of the paper. */
function array(frontX: number, y: number): Shape[] {
  const [backX, half] = [frontX - ARRAY_MM.deep, ARRAY_MM.wide / 2];
  const cameraX = backX - CAMERA_MM;
  return [
    line(
      'line',
      [backX, y - half],
      [frontX, y - half],
      [frontX, y + half],
      [backX, y + half],
      [backX, y - half],
    ),
    line('strong', [backX - 1, y - half], [backX - 1, y + half]),
    ...cameraShapes([cameraX, y]),
    { kind: 'circle', at: [frontX, y], radiusMm: 1, filled: true },
    line('hair', [cameraX + 2, y], [PAPER.widthMm - EDGE_MM, y]),
    text([cameraX - 5, y - half - 2], 'camera', TEXT_MM),
    text([backX - 1, y + half + 4], 'sheet', TEXT_MM, 'end'),
    text([frontX, y - half - 2], 'front face', TEXT_MM, 'middle'),
    text([frontX + 2, y + 4.5], 'origin', TEXT_MM),
  ];
}

/** A scale of the distances that lamps stand at, `y` below the paper's edge. */
function distanceScale(places: readonly BenchPlace[], frontX: number, scale: number, y: number): Shape[] {
  const distances = [...new Set(places.map(({ distanceMm }) => distanceMm))].sort((a, b) => a - b);
  // A label that would touch the one before stands a line lower.
  const lower = distances.map((mm, n) => n % 2 === 1 && (mm - distances[n - 1]!) * scale < LABEL_MM);
  const last = frontX + Math.max(...distances) * scale;
  return [
    line('line', [frontX, y], [last, y]),
    ...[0, ...distances].map((mm) =>
      line('line', [frontX + mm * scale, y - 1], [frontX + mm * scale, y + 1]),
    ),
    ...distances.map((mm, n) =>
      text([frontX + mm * scale, y + (lower[n] ? 7 : 4)], lengthM(mm / 1000), SMALL_MM, 'middle'),
    ),
    text([frontX - 2, y + 1], 'from the front face', SMALL_MM, 'end'),
  ];
}

/** One pair of each spacing: the one that is farthest away. */
function farthestOfSpacings(places: readonly BenchPlace[]): readonly BenchPlace[] {
  const last = new Map<number, BenchPlace>();
  for (const place of places.filter(({ spacingMm }) => spacingMm !== null)) {
    const before = last.get(place.spacingMm!);
    if (before === undefined || before.distanceMm < place.distanceMm) last.set(place.spacingMm!, place);
  }
  return [...last.values()];
}

/**
 * The bench from above and from the side, and the single lamps from the camera: camera, sheet, array, and where the lamps
 * stand. Only the lamps' places are to scale; across and up are drawn on a larger scale than distances.
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
  const scale = (PAPER.widthMm - EDGE_MM - LABEL_ROOM_MM - frontX) / farthest;
  const aside = VIEW_MM.height / 2 / widest;
  const { above, side, height } = VIEW_MM;
  const x = (distanceMm: number) => frontX + distanceMm * scale;
  // From above with the camera at the left, right of the bench is towards the bottom of the paper.
  const acrossY = (mm: number) => above + mm * aside;
  const upY = (mm: number) => side - mm * aside;
  const lamp = (distanceMm: number, y: number): Shape => ({
    kind: 'circle',
    at: [x(distanceMm), y],
    radiusMm: LAMP_MM,
    filled: true,
  });
  const ends = ({ acrossMm, spacingMm }: BenchPlace) =>
    spacingMm === null ? [acrossMm] : [acrossMm - spacingMm / 2, acrossMm + spacingMm / 2];
  const fromAbove = places.flatMap((place) => {
    const ys = ends(place).map(acrossY);
    const lamps = ys.map((y) => lamp(place.distanceMm, y));
    return ys.length < 2
      ? lamps
      : [line('line', [x(place.distanceMm), ys[0]!], [x(place.distanceMm), ys[1]!]), ...lamps];
  });
  const single = places.filter(({ spacingMm }) => spacingMm === null);
  const pairs = farthestOfSpacings(places);
  const labels = pairs.map((one) =>
    text(
      [x(one.distanceMm) + LAMP_MM + 1, acrossY(one.acrossMm) - 0.6],
      `${lengthM(one.spacingMm! / 1000)} apart`,
      SMALL_MM,
    ),
  );
  const notes = [
    'Single dots: one lamp. Joined dots: a pair. Seen from above and from the side, distances are drawn on a smaller scale.',
    `Distances count from the front face, not from the sheet: the tubes are ${tubeLengthMm} mm long.`,
    'The origin is the middle of the front face. Across grows to the right as the camera sees it, up grows upwards.',
    'Lamps at up 0 stand as high as the middle of the array. Measure to the middle of the part that shines.',
    'Nothing moves between shots but the lamps. Lamps get hot: keep paper, tape and plastic away from them.',
  ];
  return {
    title,
    ...PAPER,
    shapes: [
      text([EDGE_MM, 12], title, 4.5),
      text(
        [EDGE_MM, above - height / 2 - 5],
        'From above: right is towards the bottom of this paper',
        TEXT_MM,
      ),
      ...array(frontX, above),
      ...fromAbove,
      ...distanceScale(places, frontX, scale, above + height / 2 + 6),
      text([EDGE_MM, side - height / 2 - 4], 'From the side', TEXT_MM),
      ...array(frontX, side),
      ...places.map(({ upMm, distanceMm }) => lamp(distanceMm, upY(upMm))),
      ...labels,
      ...lampView(single, [EDGE_MM, LAMPS_MM.top], PAPER.widthMm - 2 * EDGE_MM, LAMPS_MM.height),
      ...notes.map((note, n) =>
        text([EDGE_MM, LAMPS_MM.top + LAMPS_MM.height + 10 + n * LINE_MM], note, TEXT_MM),
      ),
    ],
  };
}
