import type { z } from 'zod';
import { InputError } from './errors.js';
import { expectedInPlainWords, foundInPlainWords, placeInPlainWords } from './plain-words.js';

type Issue = z.core.$ZodIssue;

/** “, line 7” for a place in the data, or nothing where lines aren't known. */
export type LineOf = (path: readonly PropertyKey[]) => string;

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

function refusal(file: string, data: unknown, error: z.ZodError, lineOf: LineOf): InputError {
  const issue = mostTelling(error.issues);
  if (issue.code === 'unrecognized_keys') {
    const path = [...issue.path, issue.keys[0]!];
    return new InputError(
      `${file}${lineOf(path)}`,
      `${placeInPlainWords(path)} is not a known field`,
      issue.message,
    );
  }
  const place = placeInPlainWords(issue.path) || 'the whole file';
  return new InputError(
    `${file}${lineOf(issue.path)}`,
    `${place}: ${foundInPlainWords(valueAt(data, issue.path))}`,
    issue.message,
  );
}

/**
 * What a schema makes of data that a person gave.
 *
 * @param data - as parsed
 * @param file - where it comes from, for messages
 * @param lineOf - for messages
 * @throws InputError with the most telling fault
 */
export function checked<T>(schema: z.ZodType<T>, data: unknown, file: string, lineOf: LineOf = () => ''): T {
  const parsed = schema.safeParse(data, { error: expectedInPlainWords });
  if (parsed.success) return parsed.data;
  throw refusal(file, data, parsed.error, lineOf);
}
