import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readSession } from './read.js';
import type { Session } from './session-format.js';
import { exposureText, lengthText, type SessionDraft, writeSession } from './write-session.js';

// Within what sessions may hold: lamps before the front face, at least a tube length away.
const distanceMm = fc.double({ min: 5_000, max: 500_000, noNaN: true });
const signedMm = fc.double({ min: -5_000, max: 5_000, noNaN: true }).map((value) => value + 0); // no −0
const stated = fc.record(
  { exposureS: fc.double({ min: 1e-5, max: 60, noNaN: true }), iso: fc.integer({ min: 25, max: 25_600 }) },
  { requiredKeys: [] },
);
const place = { acrossMm: signedMm, upMm: signedMm, distanceMm };
const shot = fc.oneof(
  fc.record({ kind: fc.constantFrom('dark', 'bare', 'even'), stated }),
  fc.record({ kind: fc.constant('lamp'), stated, ...place }),
  fc.record({
    kind: fc.constant('pair'),
    stated,
    ...place,
    spacingMm: fc.double({ min: 100, max: 5_000, noNaN: true }),
    turnedDeg: fc.integer({ min: 0, max: 90 }),
  }),
  fc.record({ kind: fc.constant('single'), stated, row: fc.constant(2), column: fc.constant(1) }),
);
const array = fc
  .record({
    name: fc.string({ minLength: 1, unit: 'binary' }),
    arrangement: fc.constant('square'),
    rows: fc.integer({ min: 2, max: 500 }),
    columns: fc.integer({ min: 2, max: 500 }),
    tubeLengthMm: fc.double({ min: 5, max: 5_000, noNaN: true }),
    tubeBoreMm: fc.double({ min: 0.1, max: 3, noNaN: true }),
    tubeWall: fc.constantFrom('matte black', { index: 1.5, extinction: 0.1, gloss: 0.8 }),
    backPitchMm: fc.double({ min: 3, max: 50, noNaN: true }),
    lean: fc.double({ min: 0, max: 1.7, noNaN: true }),
  })
  // The outermost tubes lean by up to 60°, whose tangent is 1.73.
  .map(({ lean, ...one }) => ({
    ...one,
    frontPitchMm: Math.min(
      10 * one.backPitchMm,
      one.backPitchMm + (2 * lean * one.tubeLengthMm) / (Math.max(one.rows, one.columns) - 1),
      200,
    ),
  }));
const session = fc.record({
  array,
  criterion: fc.constantFrom(
    { name: 'rayleigh', requiredDip: 0.265 },
    { name: 'sparrow', requiredDip: 0 },
    { name: '0.31', requiredDip: 0.31 },
  ),
  lampDiameterMm: fc.option(fc.double({ min: 0, max: 100, noNaN: true })),
  tone: fc.constantFrom('srgb', 'linear', 'bracketed'),
  shots: fc.array(shot, { maxLength: 8 }).map((shots) =>
    [{ kind: 'even', stated: {} }, ...shots].map((one, index) => ({
      photo: `a, #${index}: b.jpg`,
      ...one,
    })),
  ),
}) as fc.Arbitrary<Session>;

// −0 and the last bit may change on the way through mm → m → mm; 1e-12 is far below any tape measure.
function rounded(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value), (_, one) =>
    typeof one === 'number' ? Number(one.toPrecision(12)) : one,
  );
}

test('a session written is the session read', () => {
  fc.assert(
    fc.property(session, (written) => {
      expect(rounded(readSession(writeSession(written), 'FILE'))).toEqual(rounded(written));
    }),
    { seed: 1, numRuns: 100 },
  );
});

const DRAFT: SessionDraft = {
  heading: ['Fill in every ___.'],
  array: {
    name: 'Panel',
    arrangement: 'square',
    rows: 24,
    columns: 30,
    tubeLengthMm: 150,
    tubeBoreMm: null,
    backPitchMm: 3,
    frontPitchMm: 4.2,
  },
  tone: 'srgb',
  shots: [
    { photo: 'even.jpg', kind: 'even', stated: {} },
    {
      photo: 'pair.jpg',
      kind: 'pair',
      stated: { exposureS: 0.125 },
      spacingMm: 60,
      distanceMm: null,
      turnedDeg: 0,
      acrossMm: 0,
      upMm: 0,
      remark: 'two bright patches',
    },
  ],
};

test('what is missing is marked, one shot a line', () => {
  expect(writeSession(DRAFT)).toBe(`# Fill in every ___.

format: twolamp-session/2
array:
  name: Panel
  arrangement: square
  rows: 24
  columns: 30
  tube-length: 150 mm
  tube-bore: ___ mm # fill in: inner diameter of a tube
  back-pitch: 3 mm
  front-pitch: 4.2 mm
camera:
  tone: srgb
shots:
  - { photo: even.jpg, kind: even }
  - { photo: pair.jpg, kind: pair, spacing: 60 mm, distance: ___ mm, turned: 0 deg, across: 0 mm, up: 0 mm, exposure: 1/8 s } # two bright patches; fill in ___
`);
});

test('what is missing is refused on reading, and named', () => {
  expect(() => readSession(writeSession(DRAFT), 'FILE')).toThrow(
    /array\.tube-bore: found "___ mm"; expected a number/,
  );
});

test.each([
  [150, '150 mm'],
  [1800, '1.8 m'],
  [-1500, '-1.5 m'],
  [0, '0 mm'],
])('%d mm is written %s', (value, text) => {
  expect(lengthText(value)).toBe(text);
});

test.each([
  [0.125, '1/8 s'],
  [1 / 250, '1/250 s'],
  [1, '1 s'],
  [2.5, '2.5 s'],
  [0.3, '0.3 s'],
])('%d s is written %s', (seconds, text) => {
  expect(exposureText(seconds)).toBe(text);
});
