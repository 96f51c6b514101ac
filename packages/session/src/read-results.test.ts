import { describe, expect, test } from 'vitest';
import { complaint, example, replaced } from './fixtures/complaint.js';
import { readComparison, readEvidence, readResult } from './read.js';

describe('readEvidence', () => {
  const EVIDENCE = {
    format: 'twolamp-evidence/2',
    picture: null,
    pitchPx: 20,
    dipCurve: null,
    profiles: [{ photo: 'pair.jpg', offsetCells: [-1, 1], measured: [1, 1], model: [1, 1] }],
    sweep: null,
  };

  test('reads back what was written', () => {
    expect(readEvidence(JSON.stringify(EVIDENCE), 'FILE')).toEqual(EVIDENCE);
  });

  test('refuses what is no figure', () => {
    const text = JSON.stringify({ ...EVIDENCE, pitchPx: 'wide' });
    expect(complaint(text, readEvidence)).toBe('FILE: pitchPx: found "wide"; expected a number');
  });
});

describe.each([
  ['readResult', readResult, 'result.json'],
  ['readComparison', readComparison, 'compare.json'],
] as const)('%s', (_, read, name) => {
  const text = example(name);

  test('reads back what was written', () => {
    const written = read(text, name);
    expect(written).toEqual(JSON.parse(text));
    expect(read(JSON.stringify(written), name)).toEqual(written);
  });

  test('refuses text that is no JSON, and says so', () => {
    expect(complaint(text.slice(0, -10), read)).toMatch(
      /^FILE: this is no JSON.*; expected a file written by twolamp$/,
    );
  });

  test('refuses another version', () => {
    expect(complaint(replaced(text, '/2"', '/7"'), read)).toMatch(
      /^FILE: format: found "twolamp-.*\/7"; expected/,
    );
  });

  test('refuses an unknown field', () => {
    expect(complaint(replaced(text, '"findings"', '"remarks"'), read)).toMatch(
      /^FILE: remarks is not a known field/,
    );
  });
});

test('another file of ours is told by its format', () => {
  expect(complaint(example('compare.json'), readResult)).toBe(
    'FILE: format: found "twolamp-comparison/2"; expected twolamp-result/2',
  );
});

describe('readResult', () => {
  const text = example('result.json');
  test.each([
    [
      '"relative": 0.982',
      '"relative": "0.982"',
      'cells[1].transmission.relative: found "0.982"; expected a number',
    ],
    ['"relative": 0.982,', '', 'cells[1].transmission.relative: it is missing; expected a number'],
    [
      '"fault": "blocked"',
      '"fault": "dirty"',
      'cells[2].fault: found "dirty"; expected none or blocked or weak',
    ],
    ['"driftPx": [0.1, -0.2]', '"driftPx": [0.1]', 'photos[1].driftPx'],
    ['"columns": 2', '"columns": 3', 'expected one cell for each hole, with a tube or without'],
  ])('%j → %j: %s', (from, to, says) => {
    expect(complaint(replaced(text, from, to), readResult)).toContain(says);
  });
});
