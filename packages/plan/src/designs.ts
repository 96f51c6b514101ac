import type { Random } from '@twolamp/optics';
import { type OuterSize, outerSize } from './outer-size.js';
import { predictWall, type WallPrediction, wallsToPredict } from './predict-wall.js';
import { type PlanRequest, requirePlannable } from './request.js';
import { significant } from '@twolamp/words';

/** One of several designs that a builder weighs against each other. */
export interface Design {
  readonly request: PlanRequest;
  readonly predictions: readonly WallPrediction[];
  readonly size: { readonly back: OuterSize; readonly front: OuterSize };
}

/**
 * What theory expects of one design; nothing to shoot.
 *
 * @param where - what the person gave, for messages
 * @throws InputError where the room doesn't do; RangeError where the array can't be built
 */
export function predictDesign(request: PlanRequest, random: Random, where: string): Design {
  requirePlannable(request, where);
  return {
    request,
    predictions: wallsToPredict(request.array).map((wall) => predictWall(request, wall, random)),
    size: outerSize(request.array),
  };
}

type Column = readonly [title: string, value: (design: Design) => string];

const range = (values: readonly number[], digits: number) => {
  const texts = [
    ...new Set([Math.min(...values), Math.max(...values)].map((value) => significant(value, digits))),
  ];
  return texts.map((text) => Number(text)).join(' to ');
};

const COLUMNS: readonly Column[] = [
  ['length mm', ({ request }) => String(request.array.tubeLengthMm)],
  ['bore mm', ({ request }) => String(request.array.tubeBoreMm)],
  ['back pitch mm', ({ request }) => String(request.array.backPitchMm)],
  ['front pitch mm', ({ request }) => String(request.array.frontPitchMm)],
  [
    'two lamps separate up to m',
    ({ predictions }) =>
      range(
        predictions.map((one) => one.resolving.distanceMm / 1000),
        3,
      ),
  ],
  [
    'a tube sees deg',
    ({ predictions }) =>
      range(
        predictions.map((one) => one.acceptanceWidthDeg),
        2,
      ),
  ],
  [
    'light as f/',
    ({ predictions }) =>
      range(
        predictions.map((one) => one.fNumber),
        2,
      ),
  ],
  ['blind gaps', ({ predictions }) => gaps(predictions)],
  ['sheet end mm', ({ size }) => `${Math.round(size.back.acrossMm)} × ${Math.round(size.back.upMm)}`],
  ['front end mm', ({ size }) => `${Math.round(size.front.acrossMm)} × ${Math.round(size.front.upMm)}`],
];

function gaps(predictions: readonly WallPrediction[]): string {
  const undersampled = predictions.filter((one) => one.undersampled);
  if (undersampled.length === 0) return 'no';
  return undersampled.length === predictions.length
    ? 'yes'
    : `if ${undersampled.map((one) => one.wall).join(', ')}`;
}

/** The designs side by side as a table in plain text: one row a design; a range runs from a matte to a glossy wall. */
export function designTable(designs: readonly Design[]): string {
  const rows = [
    COLUMNS.map(([title]) => title),
    ...designs.map((design) => COLUMNS.map(([, value]) => value(design))),
  ];
  const widths = COLUMNS.map((_, column) => Math.max(...rows.map((row) => row[column]!.length)));
  const lines = rows.map((row) =>
    row
      .map((text, column) => text.padEnd(widths[column]!))
      .join('  ')
      .trimEnd(),
  );
  return `${lines.join('\n')}\nRanges run from one wall to the other: matte black to glossy black, or as stated.\n`;
}
