import type { z } from 'zod';
import { InputError } from './errors.js';
import {
  DECIMAL_POINT,
  expectedInPlainWords,
  foundInPlainWords,
  placeInPlainWords,
  withoutComma,
} from './plain-words.js';

type Issue = z.core.$ZodIssue;

/** “, line 7” for a place in the data, or nothing where lines aren't known. */
export type LineOf = (path: readonly PropertyKey[]) => string;
/** The name by which a person knows a place in the data. */
export type PlaceOf = (path: readonly PropertyKey[]) => string;

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    data,
  );
}

/**
 * Another format goes first, since then all else is wrong as well; then an unknown field: a misspelt name is also a
 * missing one, and the misspelling says more.
 */
function rank({ code, path }: Issue): number {
  if (path.length === 1 && path[0] === 'format') return 0;
  return code === 'unrecognized_keys' ? 1 : 2;
}

/** The most telling issue: inside a union, one that got past the first look at a branch. */
function mostTelling(issues: readonly Issue[]): Issue {
  const issue = [...issues].sort((a, b) => rank(a) - rank(b))[0]!;
  if (issue.code !== 'invalid_union') return issue;
  const inside = issue.errors.flat().filter((one) => one.path.length > 0 || one.code === 'unrecognized_keys');
  if (inside.length === 0) return issue;
  const inner = mostTelling(inside);
  return { ...inner, path: [...issue.path, ...inner.path] };
}

/** Most faults of one file that are told at once. */
const MOST_TOLD = 20;

/** A decimal comma, which cuts a number in two inside braces: `{ spacing: 2,6 mm }` has a field named `6 mm`. */
const CUT_NUMBER = /^\d+(\s*(mm|cm|m|in|ft|deg|s))?$/;

function refusalsOf(
  file: string,
  data: unknown,
  issue: Issue,
  lineOf: LineOf,
  placeOf: PlaceOf,
): InputError[] {
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) => {
      const path = [...issue.path, key];
      const where = `${file}${lineOf(path)}`;
      return CUT_NUMBER.test(key)
        ? new InputError(where, `${placeOf(issue.path)}: a comma before “${key}”`, DECIMAL_POINT)
        : new InputError(where, `${placeOf(path)} is not a known field`, issue.message);
    });
  }
  const place = placeOf(issue.path) || 'the whole file';
  const value = valueAt(data, issue.path);
  const found = `${place}: ${foundInPlainWords(value)}`;
  const expected = typeof value === 'string' ? withoutComma(value, issue.message) : issue.message;
  return [new InputError(`${file}${lineOf(issue.path)}`, found, expected)];
}

/**
 * All faults, the most telling first. Where the format is another one, nothing else counts; where a field has an unknown
 * name, a missing one beside it is the same fault.
 */
function refusal(
  file: string,
  data: unknown,
  error: z.ZodError,
  { lineOf = () => '', most = 1, placeOf = placeInPlainWords }: Telling,
): InputError {
  const issues = [...error.issues].sort((a, b) => rank(a) - rank(b)).map((one) => mostTelling([one]));
  const misspelt = new Set(
    issues.filter((one) => one.code === 'unrecognized_keys').map(({ path }) => path.join('/')),
  );
  const told = issues.filter(
    (one) =>
      rank(one) === 0 ||
      valueAt(data, one.path) !== undefined ||
      !misspelt.has(one.path.slice(0, -1).join('/')),
  );
  const counted = rank(told[0]!) === 0 ? told.slice(0, 1) : told;
  const all = counted.flatMap((one) => refusalsOf(file, data, one, lineOf, placeOf));
  const [first, ...others] = all.slice(0, most);
  const left = all.length - most;
  if (most > 1 && left > 0) others.push(new InputError(file, `${left} more like these`));
  return InputError.all([first!, ...others]);
}

/** How faults are told. */
interface Telling {
  readonly lineOf?: LineOf;
  /** Faults that are told: one of files that programs write, all of those that people write. */
  readonly most?: number;
  readonly placeOf?: PlaceOf | undefined;
}

/**
 * What a schema makes of data that a person gave.
 *
 * @param data - as parsed
 * @param file - where it comes from, for messages
 * @param telling - for messages
 * @throws InputError with the most telling faults
 */
export function checked<T>(schema: z.ZodType<T>, data: unknown, file: string, telling: Telling = {}): T {
  const parsed = schema.safeParse(data, { error: expectedInPlainWords });
  if (parsed.success) return parsed.data;
  throw refusal(file, data, parsed.error, telling);
}

/** As {@link checked}, for files that people write: all faults are told at once. */
export function checkedWhole<T>(schema: z.ZodType<T>, data: unknown, file: string, lineOf: LineOf): T {
  return checked(schema, data, file, { lineOf, most: MOST_TOLD });
}
