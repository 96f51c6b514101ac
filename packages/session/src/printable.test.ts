import { describe, expect, test } from 'vitest';
import { printable, printableLines, shortened } from './printable.js';

describe('printable', () => {
  test.each([
    ['plain text, ü and 光 stay', 'Röhren 光 α', 'Röhren 光 α'],
    ['an escape code', '\u001b[31mred', '\\u{1b}[31mred'],
    ['a byte-order mark', '\ufefftext', '\\u{feff}text'],
    ['writing turned round', 'a\u202egpj.exe', 'a\\u{202e}gpj.exe'],
    ['a C1 control', 'a\u009bb', 'a\\u{9b}b'],
    ['a line break', 'a\nb', 'a\\u{a}b'],
    ['half a surrogate pair', 'a\ud800b', 'a\\u{d800}b'],
    ['a whole surrogate pair stays', 'a😀b', 'a😀b'],
  ])('%s', (_, text, shown) => {
    expect(printable(text)).toBe(shown);
  });

  test('of several lines, line breaks and tabs stay', () => {
    expect(printableLines('a\n\tb\u0007')).toBe('a\n\tb\\u{7}');
  });
});

describe('shortened', () => {
  test.each([
    ['short text stays', 'even.jpg', 20, 'even.jpg'],
    ['the middle goes', 'abcdefghij', 7, 'abc…hij'],
    ['no character is cut in half', '😀'.repeat(9), 5, '😀😀…😀😀'],
  ])('%s', (_, text, longest, shown) => {
    expect(shortened(text, longest)).toBe(shown);
  });

  test('of a hundred thousand characters few are left', () => {
    expect(shortened('x'.repeat(100_000)).length).toBeLessThan(200);
  });
});
