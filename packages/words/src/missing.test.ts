import { finding } from '@twolamp/session';
import { expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { findingSentence } from './findings/index.js';
import { doubts, missingFigures, otherFindings } from './missing.js';

const whole = exampleResult();
const NO_DARK = finding('no-dark', 'photos', {});
const DOUBT = finding('doubt-pair-distance', 'pair-1.jpg', {
  statedM: 2,
  seenCells: 3.4,
  seenUncertaintyCells: 0.1,
  fittingM: 2.4,
});
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
  findings: [finding('no-bare', 'transmission.absolute', {}), NO_DARK, DOUBT],
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
    'There is no bare shot.',
    'A bare shot, the sheet alone in the same even light, would give it.',
  ]);
});

test('a finding is told once, doubts by themselves', () => {
  expect(otherFindings(bare)).toEqual([NO_DARK]);
  expect(doubts(bare)).toEqual([findingSentence(DOUBT)]);
});

test('tubes that the sweep leaves open are counted, with the rows and columns that hold most of them', () => {
  const cells = whole.cells.map((cell) =>
    cell.column === 1 || cell.column === 2 || cell.cell === 100 ? { ...cell, pointing: null } : cell,
  );
  const open = cells.filter(({ pointing, fault }) => pointing === null && fault === 'none').length;
  const [missing, ...more] = missingFigures({ ...whole, cells });
  expect(more).toEqual([]);
  expect(missing!.title).toBe('Whether every tube is straight');
  expect(missing!.says[0]).toMatch(
    new RegExp(`^${open} of 720 tubes, among them most of columns 1 and 2, can’t be judged`),
  );
});

test('one row is told as one', () => {
  const cells = whole.cells.map((cell) => (cell.row === 3 ? { ...cell, pointing: null } : cell));
  expect(missingFigures({ ...whole, cells })[0]!.says[0]).toContain('among them most of row 3, can’t');
});

test.each([
  [
    'neighbouring columns are told as a range',
    [1, 3, 4, 5, 9, 10],
    'among them most of columns 1, 3 to 5, 9 and 10, can’t',
  ],
  ['where most tubes are open, no columns are named', [...Array(20).keys()], ' tubes can’t be judged'],
])('%s', (_, columns, says) => {
  const cells = whole.cells.map((cell) =>
    columns.includes(cell.column!) ? { ...cell, pointing: null } : cell,
  );
  expect(missingFigures({ ...whole, cells })[0]!.says[0]).toContain(says);
});
