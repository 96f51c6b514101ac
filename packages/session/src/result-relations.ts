import { type ArrayDimensions, arrayMisfits } from './array-relations.js';
import { isPossible, PLAUSIBLE, possibleInWords, type Quantity } from './plausible.js';

/** What is held against each other in a result; the places of tubes are null where the array has no rows and columns. */
export interface ResultFigures {
  readonly array: ArrayDimensions;
  readonly cells: readonly {
    /** From 1 in reading order; version 1 has none. */
    readonly cell?: number;
    readonly row: number | null;
    readonly column: number | null;
    readonly crosstalk: { readonly worst: Place | null } | null;
  }[];
  readonly pairs: readonly { readonly distanceM: number; readonly spacingM: number }[];
  readonly resolving: {
    readonly distanceM: number;
    readonly spacingM: number;
    readonly lowM: number | null;
    readonly highM: number | null;
  } | null;
  readonly crosstalk: {
    readonly kernel: readonly (readonly number[])[];
    readonly kernelUncertainty?: readonly (readonly (number | null)[])[];
  } | null;
  /** Version 1 has none. */
  readonly wall?: { readonly gloss: number; readonly index: number; readonly extinction: number } | null;
  readonly pull: readonly Place[];
}

interface Place {
  /** Number of the cell there; version 1 has none. */
  readonly cell?: number;
  readonly row: number | null;
  readonly column: number | null;
}

/** A figure of a result that can't be, with its path in the file. */
export interface ResultMisfit {
  readonly path: (string | number)[];
  readonly expected: string;
}

/** Figures of a result: far beyond any light, place or share; sums and squares of it stay finite. */
export const LARGEST_FIGURE = 1e9;

const M_TO_MM = 1000;
const [, mostTubes] = PLAUSIBLE.tubes.possible;
/** Interval and figure may be rounded apart. */
const ROUNDING = 1e-6;

const DIMENSIONS: Partial<Record<keyof ArrayDimensions, Quantity>> = {
  tubeLengthMm: 'tubeLengthMm',
  tubeBoreMm: 'tubeBoreMm',
  backPitchMm: 'pitchMm',
  frontPitchMm: 'pitchMm',
};

function ofArray(array: ArrayDimensions): ResultMisfit[] {
  const single = Object.entries(DIMENSIONS).flatMap(([field, quantity]) =>
    isPossible(quantity, array[field as keyof ArrayDimensions] as number)
      ? []
      : [{ path: ['array', field], expected: possibleInWords(quantity) }],
  );
  for (const field of ['rows', 'columns'] as const) {
    if (array[field] > mostTubes) single.push({ path: ['array', field], expected: `at most ${mostTubes}` });
  }
  if (single.length > 0) return single;
  return arrayMisfits(array).map(({ field, expected }) => ({ path: ['array', field], expected }));
}

/** Places that lie outside the array, or stand twice. */
function ofPlaces(
  places: readonly (Place | null | undefined)[],
  { rows, columns }: ArrayDimensions,
  once: boolean,
  pathOf: (index: number) => (string | number)[],
): ResultMisfit[] {
  const seen = new Set<string>();
  return places.flatMap((place, index) => {
    if (!place || place.row === null || place.column === null) return [];
    const { row, column } = place;
    if (!(row >= 1 && row <= rows && column >= 1 && column <= columns)) {
      return [
        {
          path: [...pathOf(index), 'row'],
          expected: `a row from 1 to ${rows} and a column from 1 to ${columns}`,
        },
      ];
    }
    const name = `${row} ${column}`;
    if (once && seen.has(name)) return [{ path: [...pathOf(index), 'row'], expected: 'each tube once' }];
    seen.add(name);
    return [];
  });
}

function ofResolving(resolving: NonNullable<ResultFigures['resolving']>): ResultMisfit[] {
  const { distanceM, lowM, highM } = resolving;
  const slackM = ROUNDING * Math.abs(distanceM);
  if (!isPossible('lampDistanceMm', distanceM * M_TO_MM)) {
    return [{ path: ['resolving', 'distanceM'], expected: possibleInWords('lampDistanceMm') }];
  }
  if (lowM !== null && !(lowM >= 0 && lowM <= distanceM + slackM)) {
    return [{ path: ['resolving', 'lowM'], expected: 'from 0 to the resolving distance' }];
  }
  if (highM !== null && !(highM >= distanceM - slackM)) {
    return [{ path: ['resolving', 'highM'], expected: 'at least the resolving distance' }];
  }
  return [];
}

/** The wall's bounds are those of session.yaml. */
const WALL = { gloss: [0, 1], index: [1, 5], extinction: [0, 10] } as const;

function ofWall(wall: NonNullable<ResultFigures['wall']>): ResultMisfit[] {
  return Object.entries(WALL).flatMap(([field, [low, high]]) => {
    const value = wall[field as keyof typeof WALL];
    return value >= low && value <= high
      ? []
      : [{ path: ['wall', field], expected: `a number from ${low} to ${high}` }];
  });
}

function ofKernel({ kernel, kernelUncertainty }: NonNullable<ResultFigures['crosstalk']>): ResultMisfit[] {
  const width = kernel[0]?.length ?? 0;
  if (!kernel.every((row) => row.length === width)) {
    return [{ path: ['crosstalk', 'kernel'], expected: 'rows of one length' }];
  }
  const fits =
    kernelUncertainty === undefined ||
    (kernelUncertainty.length === kernel.length && kernelUncertainty.every((row) => row.length === width));
  return fits
    ? []
    : [{ path: ['crosstalk', 'kernelUncertainty'], expected: 'as many rows and columns as the kernel' }];
}

/** Whether a place's number is that of the cell there. */
function isNumberOf({ cell, row, column }: Place, cells: ResultFigures['cells']): boolean {
  if (cell === undefined) return true;
  const own = cells[cell - 1];
  return own?.row === row && own?.column === column;
}

/** What can't be in a result: sizes that no array has, tubes outside or twice, intervals without their figure. */
export function resultMisfits(result: ResultFigures): ResultMisfit[] {
  const { array, cells, pairs, resolving, crosstalk, pull } = result;
  const dimensions = ofArray(array);
  if (dimensions.length > 0) return dimensions;
  return [
    ...ofPlaces(cells, array, true, (index) => ['cells', index]),
    ...ofPlaces(
      cells.map((cell) => cell.crosstalk?.worst),
      array,
      false,
      (index) => ['cells', index, 'crosstalk', 'worst'],
    ),
    ...ofPlaces(pull, array, true, (index) => ['pull', index]),
    ...pull.flatMap((place, index) =>
      isNumberOf(place, cells)
        ? []
        : [{ path: ['pull', index, 'cell'], expected: 'the number of the cell in that row and column' }],
    ),
    ...pairs.flatMap(({ distanceM, spacingM }, index) => [
      ...(isPossible('lampDistanceMm', distanceM * M_TO_MM)
        ? []
        : [{ path: ['pairs', index, 'distanceM'], expected: possibleInWords('lampDistanceMm') }]),
      ...(isPossible('lampSpacingMm', spacingM * M_TO_MM)
        ? []
        : [{ path: ['pairs', index, 'spacingM'], expected: possibleInWords('lampSpacingMm') }]),
    ]),
    ...(resolving ? ofResolving(resolving) : []),
    ...(crosstalk ? ofKernel(crosstalk) : []),
    ...(result.wall ? ofWall(result.wall) : []),
    ...cells.flatMap(({ cell }, index) =>
      cell === undefined || cell === index + 1
        ? []
        : [{ path: ['cells', index, 'cell'], expected: `${index + 1}: cells are numbered in reading order` }],
    ),
  ];
}
