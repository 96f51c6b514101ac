import { z } from 'zod';
import { doubtfulSource } from './doubtful.js';

export const WEIGHING_FORMAT = 'twolamp-weighing/1';

const figure = z.number();
const basis = z.enum(['measured', 'predicted']);

/** One way to go on with an array, and what it brings. */
const way = z.strictObject({
  way: z
    .string()
    .describe('as it is, mended, finished, finished and mended, or rebuilt with what is changed'),
  tubes: z.int().describe('tubes that the array then has'),
  newTubes: z.int().describe('tubes to make for it'),
  hours: figure.describe("new tubes × the builder's minutes per tube"),
  resolvingM: z
    .strictObject({
      value: figure,
      low: figure.nullable().describe('lower end of the 95 % interval'),
      high: figure.nullable().describe('upper end of it'),
      basis,
      bound: z.enum(['within', 'beyond', 'nearer']),
    })
    .nullable(),
  fieldDeg: z
    .strictObject({ across: figure, up: figure, uncertainty: figure.nullable(), basis })
    .describe('angle between the views of the outermost tubes'),
  rows: z.int().describe('rows of tubes, one below the other, that take part'),
  columns: z.int().describe('tubes side by side'),
  cellsAcrossSubject: z
    .strictObject({ value: figure, uncertainty: figure.nullable(), basis })
    .nullable()
    .describe("tubes that look at the subject's width, side by side"),
  effectiveFNumber: z.strictObject({ value: figure, uncertainty: figure.nullable(), basis }).nullable(),
  exposure: z
    .strictObject({ seconds: figure, uncertaintyS: figure.nullable(), basis })
    .nullable()
    .describe('the known exposure through a lens, scaled by f-numbers'),
  preview: z.string().nullable().describe('picture beside this file'),
});

/** weigh.json: ways to go on with an array, side by side. */
export const weighingSchema = z.strictObject({
  format: z.literal(WEIGHING_FORMAT),
  array: z.string(),
  minutesPerTube: z.strictObject({ value: figure, stated: z.boolean() }),
  spacingM: figure.nullable().describe('between the two lamps of the resolving distance'),
  subject: z.strictObject({ widthM: figure, distanceM: figure }).nullable(),
  lens: z.strictObject({ fNumber: figure, exposureS: figure }).nullable(),
  ways: z.array(way).min(1),
  doubtful: doubtfulSource,
});

export type Weighing = z.infer<typeof weighingSchema>;
export type Way = Weighing['ways'][number];
