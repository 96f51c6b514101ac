import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { readSession } from './read.js';
import { unusualValues } from './unusual.js';

const SESSION = readFileSync(new URL('../examples/session.yaml', import.meta.url), 'utf8');

function asked(from: string, to: string): string[] {
  expect(SESSION).toContain(from);
  return unusualValues(readSession(SESSION.replace(from, to), 'FILE')).map(
    ({ field, says }) => `${field}: ${says}`,
  );
}

test('nothing is asked about an ordinary session', () => {
  expect(unusualValues(readSession(SESSION, 'FILE'))).toEqual([]);
});

test('a packed array is not asked about the rows and columns that it has not', () => {
  const text = readFileSync(new URL('../../../datasets/packed/session.yaml', import.meta.url), 'utf8');
  expect(unusualValues(readSession(text, 'FILE'))).toEqual([]);
});

test.each([
  ['tube-length: 150 mm', 'tube-length: 1.5 m', 'array.tube-length: 1.5 m is stated; usually 30 mm to 1 m'],
  ['tube-length: 150 mm', 'tube-length: 15 mm', 'array.tube-length: usually 8 to 300 bores; this is 5.77'],
  ['front-pitch: 4.2 mm', 'front-pitch: 8 mm', /^array.front-pitch: usually up to 2.5 back pitches.*2.67/],
  [
    'exposure: 1/8 s',
    'exposure: 1/80000 s',
    'shots[2].exposure: 0.0000125 s is stated; usually 0.0001 s to 120 s',
  ],
  ['distance: 1.8 m', 'distance: 180 m', 'shots[4].distance: 180 m is stated; usually 100 mm to 50 m'],
  ['distance: 1.8 m', 'distance: 200 mm', 'shots[4].distance: usually at least 2 tube lengths'],
  ['up: 40 mm', 'up: 4 m', "shots[4].across: usually at most 45° off the array's middle axis"],
])('%s → %s is asked', (from, to, says) => {
  const questions = asked(from, to);
  expect(questions).toContainEqual(typeof says === 'string' ? says : expect.stringMatching(says));
});
