import { expect, test } from 'vitest';
import { exampleResult } from '../example/example-result.js';
import { missingFigures, otherNotes } from './missing.js';

const whole = exampleResult();
const bare = {
  ...whole,
  cells: whole.cells.map((cell) => ({
    ...cell,
    pointing: null,
    crosstalk: null,
    transmission: { ...cell.transmission, absolute: null, absoluteUncertainty: null },
  })),
  crosstalk: null,
  resolving: null,
  notes: [
    { about: 'transmission.absolute', says: 'no bare shot' },
    { about: 'camera', says: 'no dark frame' },
  ],
};

test('a whole session lacks nothing', () => {
  expect(missingFigures(whole)).toEqual([]);
});

test('each missing figure says why, and which shot would give it', () => {
  const titles = missingFigures(bare).map(({ title }) => title);
  expect(titles).toEqual([
    'How far two lamps stay separate',
    'Absolute transmission',
    'Where each tube points, and how wide it sees',
    'Crosstalk',
  ]);
  expect(missingFigures(bare)[1]!.says).toEqual([
    'No bare shot.',
    'A bare shot, the sheet alone in the same even light, would give it.',
  ]);
});

test('a note is told once', () => {
  expect(otherNotes(bare)).toEqual([{ about: 'camera', says: 'No dark frame.' }]);
});
