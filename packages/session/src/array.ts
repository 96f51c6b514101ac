import { z } from 'zod';
import { positiveLengthMm } from './units.js';

const MAX_SIDE = 500;

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

/** The array as the builder describes it; keys as in session.yaml, lengths in mm once read. */
export const arrayInput = z
  .strictObject({
    name: z.string().min(1, 'a name'),
    arrangement: z.enum(['square', 'hexagonal']),
    'shifted-rows': z.enum(['odd', 'even']).optional(),
    rows: z.int().min(2).max(MAX_SIDE),
    columns: z.int().min(2).max(MAX_SIDE),
    'tube-length': positiveLengthMm,
    'tube-bore': positiveLengthMm,
    'tube-wall': tubeWall.optional(),
    'back-pitch': positiveLengthMm,
    'front-pitch': positiveLengthMm,
  })
  .superRefine((array, context) => {
    const issue = (path: string, message: string) =>
      context.addIssue({ code: 'custom', path: [path], message });
    if (array.arrangement === 'hexagonal' && array['shifted-rows'] === undefined) {
      issue('shifted-rows', 'odd or even: which rows sit half a pitch to the right');
    }
    if (array.arrangement === 'square' && array['shifted-rows'] !== undefined) {
      issue('shifted-rows', 'none: rows are shifted in hexagonal arrays only');
    }
    if (array['tube-bore'] > array['back-pitch']) {
      issue('tube-bore', 'a bore no wider than the back pitch: the tubes would overlap');
    }
    const inwardsMm = array['back-pitch'] - array['front-pitch'];
    if (inwardsMm > 0) {
      const crossingM = (array['tube-length'] * array['front-pitch']) / inwardsMm / 1000;
      issue(
        'front-pitch',
        'a front pitch equal to the back pitch (a parallel array) or larger (a diverging one): with a smaller one the tubes ' +
          `lean towards each other, their views cross ${crossingM.toPrecision(2)} m in front of the array, and beyond ` +
          'that the picture is turned over',
      );
    }
  })
  .transform((array) => ({
    name: array.name,
    arrangement: array.arrangement,
    ...(array['shifted-rows'] === undefined ? {} : { shiftedRows: array['shifted-rows'] }),
    rows: array.rows,
    columns: array.columns,
    tubeLengthMm: array['tube-length'],
    tubeBoreMm: array['tube-bore'],
    ...(array['tube-wall'] === undefined ? {} : { tubeWall: array['tube-wall'] }),
    backPitchMm: array['back-pitch'],
    frontPitchMm: array['front-pitch'],
  }));

/** An array's stated dimensions, lengths in mm. */
export type ArraySpec = z.infer<typeof arrayInput>;

/** What the tube walls are made of, as stated. */
export type TubeWall = z.infer<typeof tubeWall>;
