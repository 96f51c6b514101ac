import { type Document, type ErrorCode, isMap, isNode, LineCounter, parseDocument } from 'yaml';
import type { z } from 'zod';
import { InputError } from './errors.js';
import { checked } from './refusal.js';

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
  return checked(schema, data, file, (path) => {
    for (let length = path.length; length > 0; length--) {
      const node = document.getIn(path.slice(0, length), true);
      if (isNode(node) && node.range) return `, line ${lines.linePos(node.range[0]).line}`;
    }
    return '';
  });
}
