import { describe, expect, test } from 'vitest';
import { complaint, replaced, SESSION } from './fixtures/complaint.js';
import { readSession } from './read.js';

describe('YAML that people type', () => {
  test.each([
    ['columns: 30', 'rows: 30', 'FILE, line 7: the same field stands twice; expected each field once'],
    ['  rows', '\trows', 'FILE, line 6: a tab; expected spaces at the beginning of a line'],
    ['{ photo: bare.jpg', '{ photo: "bare.jpg', 'expected valid YAML'],
    ['shots:', '---\nshots:', 'a second document begins; expected one session a file'],
  ])('%j → %j: %s', (from, to, says) => {
    expect(complaint(replaced(SESSION, from, to))).toContain(says);
  });

  test.each(['', 'just text', '- a\n- b'])('%j holds no session', (text) => {
    expect(complaint(text)).toBe('FILE: no fields are there; expected format, array and shots');
  });

  test.each([
    [
      'a missing anchor',
      SESSION.replace('kind: even', 'kind: *none'),
      /line 18: \*none repeats something that is not there/,
    ],
    ['20,000 aliases', `a: &a 1\nb: [${'*a, '.repeat(20_000)}]`, /line 2: more than 100 repeats \(\*name\)/],
    [
      '100,000 keys',
      `{${Array.from({ length: 100_000 }, (_, i) => `k${i}: 1`).join(', ')}}`,
      /at most 300000 characters/,
    ],
    [
      '20,000 keys',
      `{${Array.from({ length: 20_000 }, (_, i) => `k${i}: 1`).join(',')}}`,
      /format: it is missing/,
    ],
    ['fifty thousand lines', 'a: 1\n'.repeat(50_000), /the file has 50001 lines; expected at most 20000/],
    ['endless nesting', `a: ${'['.repeat(50_000)}${']'.repeat(50_000)}`, /nested too deeply/],
    ['an anchor inside itself', 'array: &a { array: *a }', /format: it is missing/],
    [
      'an escape code',
      SESSION.replace('kind: even', 'kind: "\\e[31m"'),
      /found "\\u\{5c\}u001b|found "\\u001b\[31m"/,
    ],
    [
      'a name of 100,000 characters',
      SESSION.replace('Reed panel', 'x'.repeat(100_000)),
      /^.{0,400}at most 200 characters$/,
    ],
    ['a field of 100,000 characters', SESSION.replace('rows', 'x'.repeat(100_000)), /^.{0,900}$/],
  ])('%s is refused in bounded words', (_, text, says) => {
    expect(complaint(text)).toMatch(says);
  });

  test('a byte-order mark is no part of the text', () => {
    expect(readSession(`\ufeff${SESSION}`, 'FILE')).toEqual(readSession(SESSION, 'FILE'));
  });

  test('aliases that multiply without end are refused', () => {
    const levels = Array.from(
      { length: 9 },
      (_, level) => `l${level + 1}: &l${level + 1} [${Array(9).fill(`*l${level}`).join(', ')}]`,
    );
    expect(complaint(['l0: &l0 [a, b]', ...levels].join('\n'))).toContain('aliases multiply without end');
  });
});
