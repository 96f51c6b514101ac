import { expect, test } from 'vitest';
import { lineInSession, type MendedValues, mendSession } from './mend-session.js';

const TEXT = `# my bench
array:
  front-pitch: 4.8 mm # by ruler
  back-pitch: 3 mm
  tube-length: 150 mm
shots:
  - { photo: even.jpg, kind: even }
  - { photo: lamp-1.jpg, kind: lamp, across: -10 cm, up: 0 mm, distance: 2 m }
  - { photo: pair-1.jpg, kind: pair, spacing: 60 mm, distance: 2 m }
`;
const lamp = { kind: 'lamp', acrossMm: -100, upMm: 0, distanceMm: 2000, spacingMm: 0, turnedDeg: 0 } as const;
const pair = { kind: 'pair', acrossMm: 0, upMm: 0, distanceMm: 2000, spacingMm: 60, turnedDeg: 0 } as const;
const stated: MendedValues = {
  array: { frontPitchMm: 4.8, backPitchMm: 3, tubeLengthMm: 150 },
  shots: [
    { photo: 'lamp-1.jpg', place: lamp },
    { photo: 'pair-1.jpg', place: pair },
  ],
};

test('only what differs is written anew, and comments stay', () => {
  expect(mendSession(TEXT, stated, stated)).toBe(TEXT);
  const text = mendSession(TEXT, stated, {
    array: { ...stated.array, frontPitchMm: 3.8 },
    shots: [
      { photo: 'lamp-1.jpg', place: { ...lamp, acrossMm: 100 } },
      { photo: 'pair-1.jpg', place: { ...pair, turnedDeg: 90, distanceMm: 2500 } },
    ],
  });
  expect(text).toBe(
    TEXT.replace('4.8 mm', '3.8 mm')
      .replace('-10 cm', '100 mm')
      .replace('60 mm, distance: 2 m', '60 mm, distance: 2.5 m, turned: 90 deg'),
  );
});

test('a shot without a place is left to fill in', () => {
  const text = mendSession(TEXT, stated, { ...stated, shots: [{ photo: 'lamp-1.jpg', place: null }] });
  expect(text).toContain('{ photo: lamp-1.jpg, kind: lamp, across: ___ mm, up: ___ mm, distance: ___ mm }');
});

test.each([
  ['array.front-pitch', 3],
  ['shots[2].distance', 8],
  ['pair-1.jpg', 9],
  ['shots.across', null],
  ['shots', null],
])('%s stands in line %s', (about, line) => {
  expect(lineInSession(TEXT, about)).toBe(line);
});
