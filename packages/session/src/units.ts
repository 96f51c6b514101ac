import { z } from 'zod';
import { isPossible, PLAUSIBLE, possibleInWords, type Quantity } from './plausible.js';

const MM_PER_UNIT: Record<string, number> = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 };
const NUMBER = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
const LENGTH = new RegExp(`^(${NUMBER})\\s*(mm|cm|m|in|ft)$`);
const ANGLE = new RegExp(`^(${NUMBER})\\s*deg$`);
const EXPOSURE = new RegExp(`^(${NUMBER})(?:\\s*/\\s*(${NUMBER}))?\\s*s$`);

export const LENGTH_EXPECTED = 'a number and a unit (mm, cm, m, in or ft), for example "3.2 mm"';
export const ANGLE_EXPECTED = 'a number and deg, for example "90 deg"';
export const EXPOSURE_EXPECTED = 'a time in seconds, for example "1/8 s" or "2.5 s"';

const finiteOrNull = (value: number): number | null => (Number.isFinite(value) ? value : null);

/**
 * A length as a person writes it, in millimetres; null where the text is none (a bare number is none).
 * Inch and foot: the international yard and pound agreement of 1959, 25.4 mm and 304.8 mm exactly.
 */
export function parseLengthMm(text: string): number | null {
  const match = LENGTH.exec(text.trim());
  return match ? finiteOrNull(Number(match[1]) * MM_PER_UNIT[match[2]!]!) : null;
}

/** An angle in degrees; null where the text is none. */
export function parseAngleDeg(text: string): number | null {
  const match = ANGLE.exec(text.trim());
  return match ? finiteOrNull(Number(match[1])) : null;
}

/** An exposure time in seconds, plain ("2.5 s") or as a fraction ("1/8 s"); null where the text is none. */
export function parseExposureS(text: string): number | null {
  const match = EXPOSURE.exec(text.trim());
  return match ? finiteOrNull(Number(match[1]) / Number(match[2] ?? 1)) : null;
}

/** Text in, number out. The pattern stands in the published JSON Schema; NaN is left to the refinement. */
function quantityText(parse: (text: string) => number | null, pattern: RegExp, expected: string) {
  return z
    .string({ error: expected })
    .trim()
    .regex(pattern, { error: expected })
    .describe(expected)
    .transform((text) => parse(text) ?? Number.NaN)
    .refine((value) => !Number.isNaN(value), expected);
}

/** Schema of a quantity of the table of plausible ranges, refused outside what is possible. */
const ranged = (schema: z.ZodType<number, string>, quantity: Quantity, expected: string) => {
  const range = possibleInWords(quantity);
  return schema.describe(`${expected}; ${range}`).refine((value) => isPossible(quantity, value), range);
};

const length = quantityText(parseLengthMm, LENGTH, LENGTH_EXPECTED);
const angle = quantityText(parseAngleDeg, ANGLE, ANGLE_EXPECTED);
const exposure = quantityText(parseExposureS, EXPOSURE, EXPOSURE_EXPECTED);

/** Schema of a length of one kind, in its plausible range: text with a unit in, millimetres out. */
export const lengthOf = (quantity: Quantity) => ranged(length, quantity, LENGTH_EXPECTED);

/** Schema of a length of any kind. */
export const lengthMm = lengthOf('anyLengthMm');

/** Below this, a length counts as none: a nanometre, far below what anybody measures here. */
const NO_LENGTH_MM = 1e-6;

/** Schema of a length above zero. */
export const positiveLengthMm = lengthMm.refine((mm) => mm >= NO_LENGTH_MM, 'a length above zero');

/** Schema of a length of 0 or more. */
export const notNegativeLengthMm = lengthMm.refine((mm) => mm >= 0, 'a length of 0 or more');

/** Schema of an angle: text in, degrees out. */
export const angleDeg = ranged(angle, 'turnedDeg', ANGLE_EXPECTED);

/** Schema of an exposure time: text in, seconds out. */
export const exposureS = ranged(exposure, 'exposureS', EXPOSURE_EXPECTED);

/** Schema of a plain number of the table. */
export const numberOf = (quantity: Quantity) => {
  const [low, high] = PLAUSIBLE[quantity].possible;
  const range = possibleInWords(quantity);
  return z.number().min(low, range).max(high, range);
};
