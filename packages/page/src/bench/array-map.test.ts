import { describe, expect, test } from 'vitest';
import { mapLines, mapSymbols, nextSymbol, withSymbol } from './array-map.js';

const SIZE = { rows: 2, columns: 3 };

describe('the map of an array that is half built', () => {
  test.each<[string, string[] | null]>([
    ['', null],
    ['  \n ', null],
    ['  ##o\n  o..\n', ['##o', 'o..']],
  ])('%j as pasted', (text, lines) => {
    expect(mapLines(text)).toEqual(lines);
  });

  test.each([
    ['', '######'],
    ['#o', '#o####'],
    ['#o.#\n..\n##', '#o...#'],
  ])('%j laid on the grid: what is missing has a tube, what is too much falls off', (text, symbols) => {
    expect(mapSymbols(text, SIZE)).toBe(symbols);
  });

  test('pressed places go round', () => {
    expect(['#', 'o', '.'].map(nextSymbol)).toEqual(['o', '.', '#']);
  });

  test('one place changes, and a map full of tubes is none', () => {
    expect(withSymbol('', SIZE, 4, 'o')).toBe('###\n#o#');
    expect(withSymbol('###\n#o#', SIZE, 0, '.')).toBe('.##\n#o#');
    expect(withSymbol('###\n#o#', SIZE, 4, '#')).toBe('');
  });
});
