import { type ArrayGeometry, tubeLayout, placeLayout } from '@twolamp/optics';
import { z } from 'zod';
import { type ArrayDimensions, arrayMisfits } from './array-relations.js';
import { PLAUSIBLE } from './plausible.js';
import { lengthOf } from './units.js';

/** Of an array's name: fits the headings that show it. */
const LONGEST_NAME = 200;

/** A tube that takes longer is no tube but a day's work. */
const MOST_MINUTES = 600;

const [fewestTubes, mostTubes] = PLAUSIBLE.tubes.possible;
/** Packed: more than any bundle a photo can show tube by tube. */
export const MOST_PACKED = 30_000;

const tubes = z.int().min(fewestTubes).max(mostTubes);

/** Fields of session.yaml by the names that the read array has. */
export const FIELD_NAMES: Record<keyof ArrayDimensions, string> = {
  kind: 'kind',
  arrangement: 'arrangement',
  shiftedRows: 'shifted-rows',
  rows: 'rows',
  columns: 'columns',
  tubeLengthMm: 'tube-length',
  tubeBoreMm: 'tube-bore',
  backPitchMm: 'back-pitch',
  frontPitchMm: 'front-pitch',
  map: 'map',
  tubes: 'tubes',
};

const packedTubes = z.int().min(1).max(MOST_PACKED);

const tubeWall = z.union(
  [
    z.enum(['glossy black', 'matte black']),
    z.strictObject({
      index: z.number().min(1).max(5).describe('refractive index of the wall'),
      extinction: z.number().min(0).max(10).describe('imaginary part of the refractive index'),
      gloss: z.number().min(0).max(1).describe('share of the reflected light that stays specular'),
    }),
  ],
  { error: 'glossy black, matte black, or { index: 1.5, extinction: 0, gloss: 0.8 }' },
);

const MAP_EXPECTED =
  'one line a row, one character a place: # a tube, o a hole without a tube yet, . no hole';

/** What the cells are, where they are no light pipes. */
const cellScreen = z
  .literal('cell-screen', {
    error:
      'cell-screen, for short cells that average the picture that a lens throws on them; left out for light pipes',
  })
  .optional();

/** The map of a partly built array, or of one that is no rectangle: its lines. */
const map = z
  .string({ error: MAP_EXPECTED })
  .transform((text) =>
    text
      .trimEnd()
      .split('\n')
      .map((line) => line.trim()),
  )
  .refine((lines) => lines.every((line) => /^[#o.]+$/.test(line)), MAP_EXPECTED)
  .refine((lines) => lines.some((line) => line.includes('#')), 'a map with at least one tube (#)');

const name = z.string().min(1, 'a name').max(LONGEST_NAME, `a name of at most ${LONGEST_NAME} characters`);
const tubeFields = {
  'tube-length': lengthOf('tubeLengthMm'),
  'tube-bore': lengthOf('tubeBoreMm'),
  'tube-wall': tubeWall.optional(),
  'back-pitch': lengthOf('pitchMm'),
};
const minutes = z.number().positive().max(MOST_MINUTES).optional();

const onGrid = z.strictObject({
  name,
  arrangement: z.enum(['square', 'hexagonal']),
  'shifted-rows': z.enum(['odd', 'even']).optional(),
  rows: tubes,
  columns: tubes,
  ...tubeFields,
  'front-pitch': lengthOf('pitchMm'),
  kind: cellScreen,
  map: map.optional(),
  unfilled: z
    .enum(['covered', 'open'], {
      error: 'covered or open: whether light comes through holes without a tube',
    })
    .optional(),
  'minutes-per-tube': minutes,
});

/** Tubes stacked without a grid. */
const packed = z.strictObject({
  name,
  arrangement: z.literal('packed'),
  tubes: packedTubes.describe('how many, as counted or estimated'),
  ...tubeFields,
  'front-pitch': lengthOf('pitchMm').optional().describe('as the back pitch where left out'),
  kind: cellScreen,
  'minutes-per-tube': minutes,
});

/** The array as the builder describes it; keys as in session.yaml, lengths in mm once read. */
export const arrayInput = z
  .discriminatedUnion('arrangement', [onGrid, packed], {
    error: (issue) => (issue.code === 'invalid_union' ? 'square, hexagonal or packed' : undefined),
  })
  .transform((array) => ({
    name: array.name,
    ...(array.kind === undefined ? {} : { kind: array.kind }),
    ...layoutOf(array),
    tubeLengthMm: array['tube-length'],
    tubeBoreMm: array['tube-bore'],
    ...(array['tube-wall'] === undefined ? {} : { tubeWall: array['tube-wall'] }),
    backPitchMm: array['back-pitch'],
    frontPitchMm: array['front-pitch'] ?? array['back-pitch'],
    ...(array['minutes-per-tube'] === undefined ? {} : { minutesPerTube: array['minutes-per-tube'] }),
  }))
  .superRefine((array, context) => {
    for (const { field, expected } of arrayMisfits(array)) {
      context.addIssue({ code: 'custom', path: [FIELD_NAMES[field]], message: expected });
    }
  });

/** How an array's tubes lie: in rows and columns, or packed without, which has 0 of both. */
interface Layout {
  readonly arrangement: 'square' | 'hexagonal' | 'packed';
  readonly shiftedRows?: 'odd' | 'even';
  readonly rows: number;
  readonly columns: number;
  readonly tubes?: number;
  readonly map?: string[];
  readonly unfilled?: 'covered' | 'open';
}

function layoutOf(array: z.infer<typeof onGrid> | z.infer<typeof packed>): Layout {
  if (array.arrangement === 'packed') {
    return { arrangement: 'packed', rows: 0, columns: 0, tubes: array.tubes };
  }
  return {
    arrangement: array.arrangement,
    ...(array['shifted-rows'] === undefined ? {} : { shiftedRows: array['shifted-rows'] }),
    rows: array.rows,
    columns: array.columns,
    ...(array.map === undefined ? {} : { map: array.map }),
    ...(array.unfilled === undefined ? {} : { unfilled: array.unfilled }),
  };
}

/** An array's stated dimensions, lengths in mm. */
export type ArraySpec = z.infer<typeof arrayInput> & Pick<ArrayGeometry, 'places'>;

/**
 * A cell's number, row and column, all from 1; a packed array has no rows and columns.
 * @param index - in reading order, from 0
 */
export function cellPlace(
  array: ArrayGeometry,
  index: number,
): { cell: number; row: number | null; column: number | null } {
  if (array.arrangement === 'packed') return { cell: index + 1, row: null, column: null };
  const tubes = tubeLayout(array);
  const [row, column] = [tubes.row[index], tubes.column[index]];
  return { cell: placeLayout(array).at(row, column) + 1, row, column };
}

/** Cells that are named one by one. */
const NAMED_CELLS = 8;

/** Places of the first cells of many. @param indices - from 0, in reading order */
export function namedPlaces(
  array: ArrayGeometry,
  indices: readonly number[],
): ReturnType<typeof cellPlace>[] {
  return indices.slice(0, NAMED_CELLS).map((index) => cellPlace(array, index));
}

/** What the tube walls are made of, as stated. */
export type TubeWall = z.infer<typeof tubeWall>;
