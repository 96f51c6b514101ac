import { describe, expect, test } from 'vitest';
import { twolamp } from '../../bench/fuzz/twolamp.js';
import {
  type Edit,
  expectRefused,
  measure,
  putSession,
  type Subset,
  useTinySession,
} from './tiny-session.js';

useTinySession();

describe('slips in session.yaml that ended as a fault of ours', () => {
  const beyondAllBounds = ([field, subset, written]: [string, Subset, RegExp]) =>
    ['1e300', '1e-300'].map((value): [string, Subset, Edit] => [
      `${field} of ${value}`,
      subset,
      [written, `$1${value}$2`],
    ]);

  test.each<[string, Subset, Edit]>([
    ...[
      ['a tube length', 'even', /(tube-length: )120( mm)/],
      ['a tube bore', 'even', /(tube-bore: )2.5( mm)/],
      ['a back pitch', 'even', /(back-pitch: )3( mm)/],
      ['a front pitch', 'even', /(front-pitch: )3.9( mm)/],
      ['a distance', 'pairs', /(kind: pair.*distance: )1( m)/],
      ['a spacing', 'pairs', /(spacing: )\S+( mm)/],
    ].flatMap((one) => beyondAllBounds(one as [string, Subset, RegExp])),
    ['an ISO of 1e-300', 'even', ['kind: even', 'kind: even, iso: 1e-300']],
    ['an aperture of 1e300', 'even', ['kind: even', 'kind: even, aperture: 1e300']],
    ['front-pitch 39 mm for 3.9', 'even', ['front-pitch: 3.9 mm', 'front-pitch: 39 mm']],
    ['front-pitch 390 mm', 'even', ['front-pitch: 3.9 mm', 'front-pitch: 390 mm']],
    ['tube-length 1 mm', 'even', ['tube-length: 120 mm', 'tube-length: 1 mm']],
    ['a lamp 1 mm away', 'whole', [/kind: lamp(.*)distance: 1 m/, 'kind: lamp$1distance: 1 mm']],
    ['pair distances in mm for m', 'pairs', [/kind: pair(.*)distance: 1 m/, 'kind: pair$1distance: 1 mm']],
    ['an endless exposure', 'even', ['kind: even', 'kind: even, exposure: 1e300 s']],
    ['no exposure at all', 'even', ['kind: even', 'kind: even, exposure: 1e-300 s']],
    ['a huge ISO', 'even', ['kind: even', 'kind: even, iso: 1e300']],
    ['a tiny aperture', 'even', ['kind: even', 'kind: even, aperture: 1e-300']],
    ['a huge lamp', 'even', [/lamp-diameter: .*/, 'lamp-diameter: 1e300 mm']],
  ])('%s', async (_, subset, edit) => {
    await putSession(subset, [edit]);
    await expectRefused(measure(), /session.yaml, line \d+: .*expected/);
  });

  test.each<[string, string[]]>([
    [
      'the preview’s width',
      ['preview', 'RESULT', '--scene', 'SCENE', '--width', '1e300 m', '--distance', '1 m'],
    ],
    ['the plan’s room', ['plan', '--lamps', '60 mm', '--room', '1e-300 m']],
    ['the plan’s lamps', ['plan', '--lamps', '1e300 mm', '--room', '4 m']],
  ])('%s beyond all bounds', async (_, args) => {
    const { code, err } = await twolamp(...args);
    expect(err).toMatch(/Expected a .* from .* to /);
    expect(code).toBe(2);
  });
});

test('a lamp of 150 mm, possible but unusual, is asked about and measured', async () => {
  await putSession('even', [[/lamp-diameter: .*/, 'lamp-diameter: 150 mm']]);
  const { code, err } = await measure();
  expect({ code, err }).toEqual({
    code: 0,
    err: expect.stringContaining('lamp-diameter: 150 mm is stated; usually 0 mm to 100 mm'),
  });
});
