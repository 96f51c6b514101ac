import type { z } from 'zod';
import { shortened } from './printable.js';

const KINDS: Record<string, string> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  array: 'a list',
  tuple: 'a list',
  object: 'named fields',
  null: 'nothing',
};

/**
 * What a schema expects, as a phrase a person can act on ("a number of at least 2").
 * Handed to the schema library as its error map; schemas that carry words of their own keep them.
 */
export function expectedInPlainWords(issue: z.core.$ZodRawIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KINDS[issue.expected] ?? issue.expected;
    case 'too_small':
      return `a number ${issue.inclusive ? 'of at least' : 'above'} ${issue.minimum}`;
    case 'too_big':
      return `a number ${issue.inclusive ? 'of at most' : 'below'} ${issue.maximum}`;
    case 'invalid_value':
      return issue.values.map(String).join(' or ');
    case 'unrecognized_keys':
      return `one of ${Object.keys((issue.inst as z.ZodObject).shape).join(', ')}`;
    default:
      return 'another value';
  }
}

/** Fields that a message names; the others are counted. */
const MOST_NAMED = 8;
/** Longest value, and longest name of a field, that a message shows whole. */
const LONGEST_VALUE = 60;

function listed(names: readonly string[]): string {
  const shown = names.slice(0, MOST_NAMED).map((name) => shortened(name, LONGEST_VALUE));
  const more = names.length - shown.length;
  return `${shown.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

/** What stands there, as a phrase; long values are cut. */
export function foundInPlainWords(value: unknown): string {
  if (value === undefined || value === null || value === '') return 'it is missing';
  if (Array.isArray(value)) return `found a list of ${value.length}`;
  if (typeof value === 'object') return `found the fields ${listed(Object.keys(value))}`;
  // JSON has no words for infinities and NaN.
  if (typeof value !== 'string') return `found ${String(value)}`;
  return `found ${JSON.stringify(shortened(value, LONGEST_VALUE))}`;
}

/** A field's place as a person counts: lists from 1 ("shots[2].photo"). */
export function placeInPlainWords(path: readonly PropertyKey[]): string {
  return path.reduce<string>((text, key) => {
    if (typeof key === 'number') return `${text}[${key + 1}]`;
    const name = shortened(String(key), LONGEST_VALUE);
    return text === '' ? name : `${text}.${name}`;
  }, '');
}

export const DECIMAL_POINT = 'decimals after a point, as in "2.6 mm"';

/** What is expected, with a word about the comma where one stands for a decimal point: "2,6 mm". */
export function withoutComma(value: string, expected: string): string {
  const [, whole, decimals] = /^([+-]?\d+),(\d+\D*)$/.exec(value.trim()) ?? [];
  return whole === undefined ? expected : `a point in place of the comma: "${whole}.${decimals}"`;
}
