import { type Document, type ErrorCode, isMap, isNode, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import { type Comparison, comparisonSchema } from './comparison-format.js';
import { InputError } from './errors.js';
import { type Evidence, evidenceSchema } from './evidence-format.js';
import { expectedInPlainWords, foundInPlainWords, placeInPlainWords } from './plain-words.js';
import { type Result, resultSchema } from './result-format.js';
import { type Session, sessionSchema } from './session-format.js';

type Issue = z.core.$ZodIssue;

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === 'object' && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    data,
  );
}

/** An unknown field goes first: a misspelt name is also a missing one, and the misspelling says more. */
function unknownFieldsFirst(issues: readonly Issue[]): Issue[] {
  const rank = (issue: Issue) => (issue.code === 'unrecognized_keys' ? 0 : 1);
  return [...issues].sort((a, b) => rank(a) - rank(b));
}

/** The most telling issue: inside a union, one that got past the first look at a branch. */
function mostTelling(issues: readonly Issue[]): Issue {
  const issue = unknownFieldsFirst(issues)[0]!;
  if (issue.code !== 'invalid_union') return issue;
  const inside = issue.errors.flat().filter((one) => one.path.length > 0 || one.code === 'unrecognized_keys');
  if (inside.length === 0) return issue;
  const inner = mostTelling(inside);
  return { ...inner, path: [...issue.path, ...inner.path] };
}

function refusal(
  file: string,
  data: unknown,
  error: z.ZodError,
  lineOf: (path: readonly PropertyKey[]) => string,
): InputError {
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

/** Faults of YAML that its parser words for programmers. */
const YAML_FAULTS: Partial<Record<ErrorCode, [found: string, expected: string]>> = {
  DUPLICATE_KEY: ['the same field stands twice', 'each field once'],
  MULTIPLE_DOCS: ['a second document begins', 'one session a file'],
  TAB_AS_INDENT: ['a tab', 'spaces at the beginning of a line'],
};

function plainData(document: Document, file: string): unknown {
  try {
    return document.toJS();
  } catch {
    // The only way to fail here: aliases (&, *) that multiply beyond the parser's limit.
    throw new InputError(file, 'its aliases multiply without end', 'plain values');
  }
}

/**
 * What a schema makes of a YAML text.
 *
 * @param text - the file's content (YAML 1.2)
 * @param file - its name, for messages
 * @param fields - the fields that matter most, for the message about an empty file
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readYaml<T>(schema: z.ZodType<T>, text: string, file: string, fields: string): T {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  const fault = document.errors[0];
  if (fault) {
    const [found, expected] = YAML_FAULTS[fault.code] ?? [fault.message, 'valid YAML'];
    throw new InputError(`${file}, line ${lines.linePos(fault.pos[0]).line}`, found, expected);
  }
  if (!isMap(document.contents)) {
    throw new InputError(file, 'no fields are there', fields);
  }
  const data = plainData(document, file);
  const parsed = schema.safeParse(data, { error: expectedInPlainWords });
  if (parsed.success) return parsed.data;
  throw refusal(file, data, parsed.error, (path) => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length), true);
      if (isNode(node) && node.range) return `, line ${lines.linePos(node.range[0]).line}`;
    }
    return '';
  });
}

/**
 * A session from the text of session.yaml.
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readSession(text: string, file: string): Session {
  return readYaml(sessionSchema, text, file, 'format, array and shots');
}

function readJson<T>(schema: z.ZodType<T>, text: string, file: string): T {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch (error) {
    throw new InputError(file, (error as Error).message, 'valid JSON');
  }
  const parsed = schema.safeParse(data, { error: expectedInPlainWords });
  if (parsed.success) return parsed.data;
  throw refusal(file, data, parsed.error, () => '');
}

/**
 * A result from the text of result.json.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readResult(text: string, file: string): Result {
  return readJson(resultSchema, text, file);
}

/**
 * The page's evidence from the text of evidence.json.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readEvidence(text: string, file: string): Evidence {
  return readJson(evidenceSchema, text, file);
}

/**
 * A comparison from the text of compare.json.
 * @throws InputError with the file and field, what was found and what is expected
 */
export function readComparison(text: string, file: string): Comparison {
  return readJson(comparisonSchema, text, file);
}
