import { isMap, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import { type Comparison, comparisonSchema } from './comparison-format.js';
import { InputError } from './errors.js';
import { type Result, resultSchema } from './result-format.js';
import { type Session, sessionSchema } from './session-format.js';

function placeOf(path: readonly PropertyKey[]): string {
  return path.reduce<string>(
    (text, key) =>
      typeof key === 'number' ? `${text}[${key + 1}]` : text === '' ? String(key) : `${text}.${String(key)}`,
    '',
  );
}

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    data,
  );
}

function describe(value: unknown): string {
  if (value === undefined) return 'nothing is there';
  const text = JSON.stringify(value);
  return `found ${text.length > 60 ? `${text.slice(0, 57)}…` : text}`;
}

type ZodIssue = z.core.$ZodIssue;

/** The most telling issue: inside a union, the branch that got farthest. */
function deepest(issue: ZodIssue): ZodIssue {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return issue;
  const inner = issue.errors.flat().sort((a, b) => b.path.length - a.path.length)[0];
  return inner && inner.path.length > 0 ? { ...inner, path: [...issue.path, ...inner.path] } : issue;
}

function refuse(file: string, data: unknown, error: z.ZodError, lineOf: (path: PropertyKey[]) => string): never {
  const issue = deepest(error.issues[0]!);
  if (issue.code === 'unrecognized_keys') {
    const path = [...issue.path, issue.keys[0]!];
    throw new InputError(`${file}${lineOf(path)}`, `${placeOf(path)} is not a known field`);
  }
  const place = placeOf(issue.path) || 'the file';
  const message = issue.message.replace(/^Invalid (input|option): /, '');
  throw new InputError(
    `${file}${lineOf([...issue.path])}`,
    `${place}: ${describe(valueAt(data, issue.path))}`,
    message.replace(/^expected /, ''),
  );
}

/**
 * A session from the text of session.yaml.
 *
 * @param text - the file's content (YAML 1.2)
 * @param file - its name, for messages
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readSession(text: string, file: string): Session {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  const fault = document.errors[0];
  if (fault) {
    throw new InputError(`${file}, line ${lines.linePos(fault.pos[0]).line}`, fault.message, 'valid YAML');
  }
  if (!isMap(document.contents)) {
    throw new InputError(file, 'no fields are there', 'format, array and shots');
  }
  const data: unknown = document.toJS();
  const parsed = sessionSchema.safeParse(data);
  if (parsed.success) return parsed.data;
  const lineOf = (path: PropertyKey[]): string => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length), true) as { range?: [number, number, number] } | undefined;
      if (node?.range) return `, line ${lines.linePos(node.range[0]).line}`;
    }
    return '';
  };
  return refuse(file, data, parsed.error, lineOf);
}

function readJson<T>(schema: z.ZodType<T>, text: string, file: string): T {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch (error) {
    throw new InputError(file, (error as Error).message, 'valid JSON');
  }
  const parsed = schema.safeParse(data);
  return parsed.success ? parsed.data : refuse(file, data, parsed.error, () => '');
}

/**
 * A result from the text of result.json.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readResult(text: string, file: string): Result {
  return readJson(resultSchema, text, file);
}

/**
 * A comparison from the text of compare.json.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readComparison(text: string, file: string): Comparison {
  return readJson(comparisonSchema, text, file);
}
