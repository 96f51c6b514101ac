import { describe, expect, test } from 'vitest';
import { complaint, replaced, SESSION } from './fixtures/complaint.js';
import { readSession } from './read.js';

describe('readSession', () => {
  test('turns every unit into mm, degrees and seconds', () => {
    const session = readSession(SESSION, 'FILE');
    expect(session.array).toEqual({
      name: 'Reed panel, first build',
      arrangement: 'hexagonal',
      shiftedRows: 'even',
      rows: 24,
      columns: 30,
      tubeLengthMm: 150,
      tubeBoreMm: 2.6,
      tubeWall: 'glossy black',
      backPitchMm: 3,
      frontPitchMm: 4.2,
    });
    expect(session.shots[1]!.stated).toEqual({ exposureS: 0.125, iso: 100, aperture: 1.8 });
    expect(session.shots[4]).toMatchObject({ distanceMm: 1800, turnedDeg: 90, acrossMm: 3, upMm: 0 });
    expect(session.shots[5]).toMatchObject({ spacingMm: 50.8, turnedDeg: 0, acrossMm: 0, upMm: 0 });
    expect(session.shots[5]).toHaveProperty('distanceMm', expect.closeTo(1828.8, 9));
  });

  test('the lamps’ size may be stated', () => {
    const stated = replaced(SESSION, 'criterion: rayleigh\n', 'criterion: rayleigh\nlamp-diameter: 0.6 cm\n');
    expect(readSession(stated, 'FILE').lampDiameterMm).toBeCloseTo(6, 12);
    expect(readSession(SESSION, 'FILE').lampDiameterMm).toBeNull();
    expect(complaint(stated.replace('0.6 cm', '0.6'))).toMatch(/lamp-diameter/);
    expect(complaint(stated.replace('0.6 cm', '-6 mm'))).toMatch(/lamp-diameter.*from 0 mm to 1 m/s);
  });

  test('criterion and tone default to Rayleigh and sRGB', () => {
    const bare = replaced(replaced(SESSION, 'criterion: rayleigh\n', ''), 'camera:\n  tone: srgb\n', '');
    const session = readSession(bare, 'FILE');
    expect(session.criterion).toEqual({ name: 'rayleigh', requiredDip: 0.265 });
    expect(session.tone).toBe('srgb');
  });

  test.each([
    ['sparrow', 0],
    ['0.3', 0.3],
  ])('criterion %s asks for a dip of %d', (written, requiredDip) => {
    const session = readSession(replaced(SESSION, 'criterion: rayleigh', `criterion: ${written}`), 'FILE');
    expect(session.criterion).toEqual({ name: written, requiredDip });
  });

  test.each([
    // The array
    [
      '150 mm',
      '150',
      'FILE, line 8: array.tube-length: found 150; expected a number and a unit (mm, cm, m, in or ft), for example "3.2 mm"',
    ],
    [
      '150 mm',
      '0 mm',
      'FILE, line 8: array.tube-length: found "0 mm"; expected a tube length from 5 mm to 5 m',
    ],
    [
      '150 mm',
      '150 yards',
      'FILE, line 8: array.tube-length: found "150 yards"; expected a number and a unit',
    ],
    ['rows: 24', 'rows: 24.5', 'FILE, line 6: array.rows: found 24.5; expected a whole number'],
    ['rows: 24', 'rows: many', 'FILE, line 6: array.rows: found "many"; expected a number'],
    ['rows: 24', 'rows: 900', 'FILE, line 6: array.rows: found 900; expected a number of at most 500'],
    ['columns: 30', 'columns: 1', 'FILE, line 7: array.columns: found 1; expected a number of at least 2'],
    ['  rows: 24\n', '', 'FILE, line 3: array.rows: it is missing; expected a number'],
    [
      'tube-length:',
      'tube-lenght:',
      'FILE, line 8: array.tube-lenght is not a known field; expected one of name, arrangement,',
    ],
    [
      'arrangement: hexagonal',
      'arrangement: round',
      'array.arrangement: found "round"; expected square, hexagonal or packed',
    ],
    ['  shifted-rows: even\n', '', 'FILE, line 3: array.shifted-rows: it is missing; expected odd or even'],
    ['arrangement: hexagonal', 'arrangement: square', 'array.shifted-rows: found "even"; expected none'],
    ['glossy black', 'shiny', 'array.tube-wall: found "shiny"; expected glossy black, matte black, or {'],
    [
      'glossy black',
      '{ index: 0.2, extinction: 0, gloss: 1 }',
      'array.tube-wall.index: found 0.2; expected a number of at least 1',
    ],
    [
      'glossy black',
      '{ index: 1.5, shine: 0, gloss: 1 }',
      'array.tube-wall.shine is not a known field; expected one of index,',
    ],
    [
      'tube-bore: 2.6 mm',
      'tube-bore: 3.1 mm',
      'array.tube-bore: found "3.1 mm"; expected a bore no wider than the back pitch',
    ],
    // Two straight lines from pitch 3 to pitch 2.8 over 150 mm meet 150 · 2.8/0.2 = 2100 mm in front.
    [
      'front-pitch: 4.2 mm',
      'front-pitch: 2.8 mm',
      'array.front-pitch: found "2.8 mm"; expected a front pitch equal to the back pitch (a parallel array) or larger ' +
        '(a diverging one): with a smaller one the tubes lean towards each other, their views cross 2.1 m in front',
    ],
    // Its surroundings
    [
      'twolamp-session/2',
      'twolamp-session/3',
      'FILE, line 1: format: found "twolamp-session/3"; expected twolamp-session/2',
    ],
    [
      'criterion: rayleigh',
      'criterion: 1.5',
      'criterion: found 1.5; expected rayleigh, sparrow or a number between 0 and 1',
    ],
    [
      'criterion: rayleigh',
      'criterion: dawes',
      'criterion: found "dawes"; expected rayleigh, sparrow or a number',
    ],
    ['tone: srgb', 'tone: raw', 'camera.tone: found "raw"; expected srgb or linear or bracketed'],
    // Shots
    [
      'kind: dark',
      'kind: black',
      'FILE, line 17: shots[1].kind: found "black"; expected dark, even, bare, lamp, pair or single',
    ],
    [', kind: dark', '', 'shots[1].kind: it is missing; expected dark, even,'],
    ['{ photo: dark.jpg, kind: dark }', 'dark.jpg', 'shots[1]: found "dark.jpg"; expected a shot: { photo:'],
    ['photo: dark.jpg', 'photo: ""', 'shots[1].photo: it is missing; expected the name of a photo'],
    [
      'photo: dark.jpg',
      'photo: ../dark.jpg',
      'FILE, line 17: shots[1].photo: found "../dark.jpg"; expected a path inside the folder',
    ],
    ['photo: dark.jpg', 'photo: /dark.jpg', 'expected a path inside the folder'],
    ['photo: dark.jpg', 'photo: C:\\dark.jpg', 'expected a path inside the folder'],
    ['photo: dark.jpg', 'photo: a\\..\\..\\dark.jpg', 'expected a path inside the folder'],
    [
      'photo: dark.jpg',
      'photo: even.jpg',
      'FILE, line 18: shots[2].photo: found "even.jpg"; expected each photo once',
    ],
    [
      'kind: even',
      'kind: bare',
      'FILE, line 17: shots: found a list of 7; expected at least one shot of kind even',
    ],
    [
      'exposure: 1/8 s',
      'exposure: 0.125',
      'shots[2].exposure: found 0.125; expected a time in seconds, for example "1/8 s" or "2.5 s"',
    ],
    ['exposure: 1/8 s', 'exposure: 0 s', 'shots[2].exposure: found "0 s"; expected an exposure time from'],
    [
      'turned: 90 deg',
      'turned: 90',
      'shots[5].turned: found 90; expected a number and deg, for example "90 deg"',
    ],
    [
      'up: 40 mm',
      'high: 40 mm',
      'shots[4].high is not a known field; expected one of photo, exposure, iso, aperture, kind, across,',
    ],
    ['row: 12', 'row: 25', 'FILE, line 23: shots[7].row: found 25; expected a row from 1 to 24'],
    ['column: 7', 'column: 0', 'shots[7].column: found 0; expected a number of at least 1'],
    // What no array and no lamp can be, one by one and together
    [
      'tube-length: 150 mm',
      'tube-length: 150 m',
      'array.tube-length: found "150 m"; expected a tube length from 5 mm',
    ],
    [
      'tube-bore: 2.6 mm',
      'tube-bore: 2.6e-9 mm',
      'expected a tube bore from 0.1 mm to 50 mm (narrower bores',
    ],
    ['front-pitch: 4.2 mm', 'front-pitch: 42 mm', 'expected at most 10 times the back pitch, not 14.0 times'],
    [
      'front-pitch: 4.2 mm',
      'front-pitch: 29 mm',
      // 14.5 · 26 mm over 150 mm
      'the outermost tubes lean by at most 60°: with this one and this tube length they lean by 68°',
    ],
    ['rows: 24', 'rows: .inf', 'array.rows: found Infinity; expected a number'],
    ['distance: 1.8 m', 'distance: 1.8 mm', 'expected a distance from the front face from 5 mm to 1000 m'],
    [
      'distance: 1.8 m',
      'distance: 18 mm',
      'shots[4].distance: found "18 mm"; expected at least one tube length, 150 mm',
    ],
    ['up: 40 mm', 'up: 40 m', 'lamps in front of the array, at most 80° off its middle axis; this is 87°'],
    ['iso: 100', 'iso: 1e300', 'expected an ISO speed from 1 to 10000000'],
    ['aperture: 1.8', 'aperture: 1e-300', 'expected an f-number from 0.5 to 1000'],
    [
      'criterion: rayleigh',
      'criterion: rayleigh\nlamp-diameter: 61 mm',
      "expected at least the lamps' diameter, 61 mm",
    ],
    ['2.6 mm', '2,6 mm', 'array.tube-bore: found "2,6 mm"; expected a point in place of the comma: "2.6 mm"'],
    ['up: 40 mm', 'up: 4,5 mm', 'shots[4]: a comma before “5 mm”; expected decimals after a point'],
  ])('%j → %j: %s', (from, to, says) => {
    expect(complaint(replaced(SESSION, from, to))).toContain(says);
  });

  test('tells all faults at once, each on a line of its own', () => {
    const wrong = [
      ['rows: 24', 'rows: many'],
      ['tube-bore: 2.6 mm', 'tube-boer: 2.6 mm'],
      ['distance: 1.8 m', 'distance: 18'],
    ].reduce((text, [from, to]) => replaced(text, from!, to!), SESSION);
    expect(
      complaint(wrong)
        .split('\n')
        .map((line) => line.replace(/^FILE, line \d+: | is not.*|: found.*/g, '')),
    ).toEqual(['array.tube-boer', 'array.rows', 'shots[4].distance']);
  });
});
