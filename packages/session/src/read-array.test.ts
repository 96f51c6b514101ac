import { describe, expect, test } from 'vitest';
import { complaint, replaced, SESSION } from './fixtures/complaint.js';
import { arrayFromFields, criterionFromText, readArray, readSession } from './read.js';

describe('readArray', () => {
  test('takes the array block and leaves all else aside', () => {
    expect(readArray(`${SESSION}\nanything: else`, 'FILE')).toEqual(readSession(SESSION, 'FILE').array);
  });

  test.each([
    ['array:', 'panel:', 'FILE: array: it is missing; expected named fields'],
    ['150 mm', '150', 'FILE, line 8: array.tube-length: found 150; expected a number and a unit'],
  ])('%j → %j: %s', (from, to, says) => {
    expect(complaint(replaced(SESSION, from, to), readArray)).toContain(says);
  });
});

describe('arrayFromFields', () => {
  test('names the field', () => {
    expect(() => arrayFromFields({ name: 'A', arrangement: 'square' }, 'the options')).toThrow(
      'the options: rows: it is missing; expected a number',
    );
  });
});

describe('criterionFromText', () => {
  test.each([
    ['sparrow', { name: 'sparrow', requiredDip: 0 }],
    ['0.31', { name: '0.31', requiredDip: 0.31 }],
  ])('%s', (text, criterion) => {
    expect(criterionFromText(text, 'the options')).toEqual(criterion);
  });

  test.each(['', 'dawes', '2'])('%j is refused', (text) => {
    expect(() => criterionFromText(text, 'the options')).toThrow(
      'expected rayleigh, sparrow or a number between 0 and 1',
    );
  });
});
