import { z } from 'zod';
import { type ArraySpec, arrayInput } from './array.js';
import { type Comparison, comparisonSchema } from './comparison-format.js';
import { InputError } from './errors.js';
import { type Evidence, evidenceSchema } from './evidence-format.js';
import { readYaml } from './read-yaml.js';
import { checked, type PlaceOf } from './refusal.js';
import { type Result, resultSchema } from './result-format.js';
import { criterionInput, type Session, sessionSchema } from './session-format.js';
import { comparisonSchema1, upgradeComparison1 } from './versions/comparison-1.js';
import { evidenceSchema1, upgradeEvidence1 } from './versions/evidence-1.js';
import { resultSchema1, upgradeResult1 } from './versions/result-1.js';
import { upgradeSession1 } from './versions/session-1.js';
import { step, type Steps, upgraded } from './versions/upgrade.js';

const RESULT_STEPS: Steps = { 'twolamp-result/1': step(resultSchema1, upgradeResult1) };
const EVIDENCE_STEPS: Steps = { 'twolamp-evidence/1': step(evidenceSchema1, upgradeEvidence1) };
const COMPARISON_STEPS: Steps = {
  'twolamp-comparison/1': step(comparisonSchema1, upgradeComparison1),
};

/**
 * A session from the text of session.yaml, of this version or an earlier one.
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readSession(text: string, file: string): Session {
  return readYaml(sessionSchema, text, file, 'format, array and shots', upgradeSession1);
}

/**
 * The array from the text of a file that has an `array` block; whatever else stands there is left aside.
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readArray(text: string, file: string): ArraySpec {
  return readYaml(z.object({ array: arrayInput }), text, file, 'array').array;
}

/**
 * An array from its fields, named and written as in session.yaml.
 * @param where - where the fields come from, for messages
 * @param placeOf - the name by which the person knows a field, where that is not its name in session.yaml
 * @throws InputError with the field, what was found and what is expected
 */
export function arrayFromFields(fields: unknown, where: string, placeOf?: PlaceOf): ArraySpec {
  return checked(arrayInput, fields, where, { placeOf });
}

/**
 * A criterion as given on the command line: its name, or the least dip.
 * @param where - where it comes from, for messages
 * @param placeOf - the name by which the person knows the field
 * @throws InputError with what was found and what is expected
 */
export function criterionFromText(text: string, where: string, placeOf?: PlaceOf): Session['criterion'] {
  const number = Number(text);
  const fields = { criterion: Number.isNaN(number) || text.trim() === '' ? text : number };
  return checked(z.object({ criterion: criterionInput }), fields, where, { placeOf }).criterion;
}

function readJson<T>(schema: z.ZodType<T>, steps: Steps, text: string, file: string): T {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    throw new InputError(file, 'this is no JSON, or only a part of it', 'a file written by twolamp');
  }
  return checked(schema, upgraded(data, steps, file), file);
}

/**
 * A result from the text of result.json, of this version or an earlier one.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readResult(text: string, file: string): Result {
  return readJson(resultSchema, RESULT_STEPS, text, file);
}

/**
 * The page's evidence from the text of evidence.json; likewise.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readEvidence(text: string, file: string): Evidence {
  return readJson(evidenceSchema, EVIDENCE_STEPS, text, file);
}

/**
 * A comparison from the text of compare.json; likewise.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readComparison(text: string, file: string): Comparison {
  return readJson(comparisonSchema, COMPARISON_STEPS, text, file);
}
