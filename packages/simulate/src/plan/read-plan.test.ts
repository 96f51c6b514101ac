import { InputError } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { smallPlan, smallPlanText } from '../fixtures/small-plan.js';
import { readPlan } from './read-plan.js';

describe('readPlan', () => {
  test('reads lengths in mm, angles in degrees, times in seconds', () => {
    const plan = smallPlan({
      camera: '{ distance: 2 ft, tilt: -3 deg, longest-exposure: 1/4 s }',
      shots: '[{ kind: even }, { kind: pair, spacing: 2 in, distance: 3 m, turned: 90 deg }]',
    });
    expect(plan.camera).toMatchObject({ distance: 609.6, tilt: -3, 'longest-exposure': 0.25 });
    expect(plan.shots[1]).toMatchObject({ spacing: 50.8, distance: 3000, turned: 90, across: 0, up: 0 });
  });

  test('needs no more than format, seed, array, photo and shots', () => {
    expect(smallPlan({ camera: '' }).faults.list).toEqual([]);
  });

  test('a session is the plan of its own simulation', () => {
    const session = `format: twolamp-session/1
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
lamp-diameter: 6 mm
camera: { tone: srgb }
shots:
  - { photo: even.jpg, kind: even, exposure: 1/8 s, iso: 100, aperture: 1.8 }
  - { photo: pair.jpg, kind: pair, spacing: 60 mm, distance: 1.8 m }
`;
    const plan = readPlan(session, 'session.yaml');
    expect(plan.lamp.diameter).toBe(6);
    expect(plan.shots).toMatchObject([
      { photo: 'even.jpg', kind: 'even' },
      { photo: 'pair.jpg', kind: 'pair', spacing: 60, distance: 1800 },
    ]);
    expect(plan.shots[0]).not.toHaveProperty('exposure');
  });

  const scenes = (scene: string) => ({ scenes: `[{ ${scene} }]` });
  const list = (fault: string) => ({ faults: `{ list: [${fault}] }` });
  test.each<[string, Record<string, string>, RegExp]>([
    ['an unknown field', { lamps: '{}' }, /line 7: lamps is not a known field; expected one of format, seed/],
    ['an unknown field inside', { sheet: '{ colour: red }' }, /sheet\.colour is not a known field/],
    ['a bare length', { sheet: '{ core: 0.1 }' }, /sheet\.core: found 0\.1; expected a number and a unit/],
    ['no seed', { seed: '' }, /seed: it is missing; expected a number/],
    [
      'a wrong format',
      { format: 'twolamp-plan/9' },
      /format: found "twolamp-plan\/9"; expected twolamp-plan\/1/,
    ],
    ['tubes that aim inwards', { array: smallArray('front-pitch: 2.9 mm') }, /lean towards each other/],
    ['no even shot', { shots: '[{ kind: dark }]' }, /at least one shot of kind even/],
    [
      'an unknown kind',
      { shots: '[{ kind: even }, { kind: dusk }]' },
      /dark, even, bare, lamp, pair or single/,
    ],
    ['a single outside', { shots: '[{ kind: even }, { kind: single, row: 6, column: 1 }]' }, /a row up to 5/],
    ['a fault outside', list('{ fault: blocked, row: 1, column: 8 }'), /a column up to 7/],
    [
      'a leak outside',
      list('{ fault: leaky, row: 5, column: 1, to: { row: 6, column: 1 }, share: 0.1 }'),
      /a row up/,
    ],
    [
      'two faults in one place',
      list('{ fault: open, row: 1, column: 1 }, { fault: blocked, row: 1, column: 1 }'),
      /one fault a tube/,
    ],
    ['exposure without ISO', { shots: '[{ kind: even, exposure: 1 s }]' }, /exposure and iso together/],
    ['a photo name with a folder', { shots: '[{ kind: even, photo: ../even.png }]' }, /a plain file name/],
    [
      'one name for two photos',
      { shots: '[{ kind: even, photo: a.png }, { kind: dark, photo: a.png }]' },
      /each photo name once/,
    ],
    [
      'a scene of a bare width',
      scenes('picture: a.png, width: 0.6, distance: 1.5 m'),
      /scenes\[1\]\.width: found 0\.6; expected a number and a unit/,
    ],
    [
      'a scene without a picture',
      scenes('width: 0.6 m, distance: 1.5 m'),
      /scenes\[1\]\.picture: it is missing/,
    ],
    [
      'a scene at no distance',
      scenes('picture: a.png, width: 0.6 m, distance: 0 m'),
      /scenes\[1\]\.distance/,
    ],
    [
      'a picture outside the folder',
      scenes('picture: ../a.png, width: 0.6 m, distance: 1.5 m'),
      /a path inside the folder of plan\.yaml/,
    ],
    [
      'a scene photographed over a shot',
      {
        ...scenes('photo: a.png, picture: b.png, width: 1 m, distance: 1 m'),
        shots: '[{ kind: even, photo: a.png }]',
      },
      /each photo name once/,
    ],
    [
      'more strewn faults than tubes',
      { faults: '{ weak: 1.0e+15 }' },
      /faults\.weak.*at most one a tube: 35/,
    ],
    ['a range upside down', { faults: '{ bow: [2 mm, 1 mm] }' }, /the least first/],
  ])('refuses %s', (_, changes, message) => {
    const read = () => readPlan(smallPlanText(changes), 'plan.yaml');
    expect(read).toThrow(InputError);
    expect(read).toThrow(message);
  });
});

function smallArray(frontPitch: string): string {
  return (
    '{ name: Test panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, ' +
    `back-pitch: 3 mm, ${frontPitch} }`
  );
}
