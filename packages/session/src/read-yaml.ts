import {
  type Alias,
  type Document,
  type ErrorCode,
  isAlias,
  isMap,
  isNode,
  isScalar,
  LineCounter,
  parseDocument,
  visit,
  type YAMLMap,
} from 'yaml';
import type { z } from 'zod';
import { InputError } from './errors.js';
import { checkedWhole } from './refusal.js';

/** Some 2000 shots of 150 characters; parsing takes some seconds a million. */
const MOST_CHARACTERS = 300_000;
const MOST_LINES = 20_000;
/** Repeats by alias (&name, *name); nobody who writes by hand needs more. */
const MOST_ALIASES = 100;

const INDENTED: [string, string] = [
  'this line begins farther left or right than those it belongs to',
  'fields that belong together one below the other, after the same number of spaces',
];
const UNREADABLE: [string, string] = [
  'this can’t be read',
  'valid YAML: "field: value", text with special characters (: # { } [ ] , & *) in quotation marks',
];
const UNCLOSED: [string, string] = [
  'something that was opened is not closed, here or on a line before',
  'valid YAML: each { with its }, each [ with its ], each quotation mark with a second one',
];

/** What the parser words for programmers. */
const YAML_FAULTS: Partial<Record<ErrorCode, [found: string, expected: string]>> = {
  MULTIPLE_DOCS: ['a second document begins', 'one session a file'],
  TAB_AS_INDENT: ['a tab', 'spaces at the beginning of a line'],
  BAD_INDENT: INDENTED,
  BLOCK_AS_IMPLICIT_KEY: [
    'a second ":" on this line',
    'one field a line, or fields in braces: { a: 1, b: 2 }',
  ],
  MULTILINE_IMPLICIT_KEY: ['a ":" is missing here or on the line before', 'valid YAML: "field: value"'],
  MISSING_CHAR: UNCLOSED,
  BLOCK_IN_FLOW: UNCLOSED,
};

/** How V8 words the end of its stack. */
const STACK_ENDS = 'Maximum call stack size exceeded';
const MARK = '\ufeff';

/** @throws InputError where a text is longer than any file of ours */
function requireBounded(text: string, file: string): void {
  if (text.length > MOST_CHARACTERS) {
    throw new InputError(
      file,
      `the file has ${text.length} characters`,
      `at most ${MOST_CHARACTERS} characters`,
    );
  }
  let lines = 1;
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lines++;
  if (lines > MOST_LINES) {
    throw new InputError(file, `the file has ${lines} lines`, `at most ${MOST_LINES} lines`);
  }
}

/** Parsing and walking call themselves once a level of nesting, and end with a RangeError where the stack does. */
function withinStack<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new InputError(file, 'its fields are nested too deeply', 'fields as in the README');
  }
}

/** @throws InputError for a field that stands twice, an alias without its anchor, or too many aliases */
function requirePlain(document: Document.Parsed, file: string, lineOf: (at: number) => number): void {
  const placeOf = (node: { range?: readonly number[] | null | undefined }) =>
    `${file}, line ${lineOf(node.range?.[0] ?? 0)}`;
  const anchors = new Set<string>();
  let aliases = 0;
  const requireAnchor = (alias: Alias) => {
    const { source } = alias;
    if (!anchors.has(source)) {
      throw new InputError(
        placeOf(alias),
        `*${source} repeats something that is not there`,
        `&${source} before it, or the value itself`,
      );
    }
    if (++aliases > MOST_ALIASES) {
      throw new InputError(
        placeOf(alias),
        `more than ${MOST_ALIASES} repeats (*name)`,
        'the values themselves',
      );
    }
  };
  const requireOnce = (map: YAMLMap) => {
    const seen = new Set<unknown>();
    for (const { key } of map.items) {
      if (!isScalar(key)) continue;
      if (seen.has(key.value)) {
        throw new InputError(placeOf(key), 'the same field stands twice', 'each field once');
      }
      seen.add(key.value);
    }
  };
  visit(document, (_, node) => {
    if (isAlias(node)) requireAnchor(node);
    else if (isNode(node) && node.anchor !== undefined) anchors.add(node.anchor);
    if (isMap(node)) requireOnce(node);
  });
}

function plainData(document: Document, file: string): unknown {
  try {
    return document.toJS({ maxAliasCount: MOST_ALIASES });
  } catch (error) {
    if (!(error instanceof ReferenceError)) throw error;
    // The only way left to get one: aliases (&, *) that multiply beyond the parser's limit.
    throw new InputError(file, 'its aliases multiply without end', 'plain values');
  }
}

/**
 * What a schema makes of a YAML text.
 *
 * @param text - the file's content (YAML 1.2)
 * @param file - its name, for messages
 * @param fields - the fields that matter most, for the message about an empty file
 * @param upgrade - brings data of an earlier version up to the schema's
 * @throws InputError with the file, line and field, what was found and what is expected
 */
export function readYaml<T>(
  schema: z.ZodType<T>,
  text: string,
  file: string,
  fields: string,
  upgrade: (data: unknown) => unknown = (data) => data,
): T {
  requireBounded(text, file);
  const lines = new LineCounter();
  const lineOf = (at: number) => lines.linePos(at).line;
  const { document, data } = withinStack(file, () => {
    // Fields that stand twice are found in requirePlain: the parser's own search takes quadratic time.
    const document = parseDocument(text.startsWith(MARK) ? text.slice(1) : text, {
      lineCounter: lines,
      prettyErrors: false,
      uniqueKeys: false,
    });
    const fault = document.errors[0];
    if (fault) {
      // The parser reports the end of its own stack as a fault of the text.
      if (fault.message.startsWith(STACK_ENDS)) throw new RangeError(fault.message);
      const [found, expected] = YAML_FAULTS[fault.code] ?? UNREADABLE;
      throw new InputError(`${file}, line ${lineOf(fault.pos[0])}`, found, expected);
    }
    if (!isMap(document.contents)) throw new InputError(file, 'no fields are there', fields);
    requirePlain(document, file, lineOf);
    return { document, data: upgrade(plainData(document, file)) };
  });
  return checkedWhole(schema, data, file, (path) => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length), true);
      if (isNode(node) && node.range) return `, line ${lineOf(node.range[0])}`;
    }
    return '';
  });
}
