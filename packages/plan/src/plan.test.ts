import { seededRandom } from '@twolamp/optics';
import { type ArraySpec, InputError, readSession, writeSession } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { designTable, predictDesign } from './designs.js';
import { missingShots } from './missing-shots.js';
import { type Plan, planBench } from './plan.js';
import { planText } from './plan-text.js';
import type { PlanRequest } from './request.js';

const ARRAY: ArraySpec = {
  name: 'Panel',
  arrangement: 'square',
  rows: 24,
  columns: 30,
  tubeLengthMm: 150,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const REQUEST: PlanRequest = {
  array: ARRAY,
  spacingMm: 60,
  roomMm: 6000,
  criterion: { name: 'rayleigh', requiredDip: 0.265 },
};

const freshPlan = (change: Partial<PlanRequest>) =>
  planBench({ ...REQUEST, ...change }, seededRandom(7), 'here');

const made = new Map<string, Plan>();
/** Ray tracing takes its time: each plan is made once. */
function plan(change: Partial<PlanRequest> = {}): Plan {
  const key = JSON.stringify(change);
  const known = made.get(key) ?? freshPlan(change);
  made.set(key, known);
  return known;
}
const withArray = (change: Partial<ArraySpec>) => plan({ array: { ...ARRAY, ...change } });

/** Dip of two lamps before one absorbing tube turned past them, by the overlap of two circles; u in bores over length. */
function overlapDip(separation: number): number {
  const overlap = (u: number) => (u >= 1 ? 0 : (2 / Math.PI) * (Math.acos(u) - u * Math.sqrt(1 - u * u)));
  const sum = (u: number) => overlap(Math.abs(u - separation / 2)) + overlap(Math.abs(u + separation / 2));
  let peak = 0;
  for (let u = 0; u < 1; u += 1e-3) peak = Math.max(peak, sum(u));
  return 1 - sum(0) / peak;
}

test('distance and acceptance, found in turn, settle', () => {
  expect(plan().predictions.map(({ resolving }) => resolving.stopped)).toEqual(['settled', 'settled']);
});

describe('predictions', () => {
  // Lamps so far away that their rays are parallel. Source: overlap of two equal circles (MathWorld, "Circle-Circle
  // Intersection"), searched here for the separation with a dip of 0.265; 1.5 % is the traced acceptance's scatter.
  test('far lamps before black tubes resolve at the angle of two overlapping circles', () => {
    let separation = 0.5;
    while (overlapDip(separation) < 0.265) separation += 1e-4;
    const [matte] = plan({ spacingMm: 3000 }).predictions;
    const expectedMm = (3000 * 150) / (separation * 2.5);
    expect(Math.abs(matte!.resolving.distanceMm / expectedMm - 1)).toBeLessThan(0.015);
  });

  // Howell, Catalog of Radiation Heat Transfer Configuration Factors, C-40: L/d = 60 gives F = 6.94348011e-5, and
  // N = 1/(2√F) = 60.004166. 0.3 % is the step of the traced table.
  test('black tubes 60 bores long pass as much light as a lens at f/60', () => {
    const [matte] = plan().predictions;
    expect(Math.abs(matte!.fNumber / 60.004166 - 1)).toBeLessThan(0.003);
    expect(Math.abs(matte!.evenThroughput / 6.94348011e-5 - 1)).toBeLessThan(0.006);
  });

  // Exposure grows with the square of the f-number (ISO 2720): from f/8 to f/60, 56.25 times.
  test('the known exposure is scaled to the array', () => {
    const [matte] = plan({ known: { fNumber: 8, exposureS: 10 } }).predictions;
    expect(Math.abs(matte!.exposureS! / 562.5 - 1)).toBeLessThan(0.006);
  });

  test('gloss brings light and costs distance', () => {
    const [matte, glossy] = plan().predictions;
    expect(glossy!.fNumber).toBeLessThan(matte!.fNumber / 2);
    expect(glossy!.resolving.distanceMm).toBeLessThan(matte!.resolving.distanceMm / 2);
  });

  test('a wall described by its numbers stands between the two named ones', () => {
    const walls = withArray({ tubeWall: { index: 1.5, extinction: 0, gloss: 0.4 } }).predictions;
    expect(walls.map((one) => [one.wall, one.stated])).toEqual([
      ['matte black', false],
      ['as stated', true],
      ['glossy black', false],
    ]);
    expect(walls[1]!.fNumber).toBeLessThan(walls[0]!.fNumber);
    expect(walls[1]!.fNumber).toBeGreaterThan(walls[2]!.fNumber);
  });

  // Section "An array" of the methods: angular pitch at infinity (front − back)/L, acceptance 0.808 d/L.
  test('an array whose axes part faster than its tubes see is undersampled, and the cure is cured', () => {
    const wide = withArray({ frontPitchMm: 9, tubeWall: 'matte black' });
    const cure = wide.predictions[0]!.cureFrontPitchMm!;
    expect(wide.predictions[0]!.undersampled).toBe(true);
    expect(cure).toBeLessThan(9);
    const { resolving } = withArray({ frontPitchMm: cure * 0.9, tubeWall: 'matte black' }).predictions[0]!;
    expect(resolving.distanceMm).toBeGreaterThan(wide.predictions[0]!.resolving.distanceMm);
    expect(withArray({ frontPitchMm: cure * 0.9 }).predictions[0]!.undersampled).toBe(false);
  });

  test('the same seed gives the same plan', () => {
    expect(freshPlan({})).toEqual(plan());
  });
});

describe('what to shoot', () => {
  const BENCHES: readonly (readonly [name: string, change: Partial<PlanRequest>])[] = [
    ['black tubes', { array: { ...ARRAY, tubeWall: 'matte black' } }],
    ['glossy tubes', { array: { ...ARRAY, tubeWall: 'glossy black' } }],
    ['tubes of unknown gloss', {}],
    ['a short room', { roomMm: 2000 }],
    ['lamps close together', { spacingMm: 5 }],
    ['lamps far apart', { spacingMm: 500 }],
  ];
  const LISTS = BENCHES.flatMap(([name, change]) =>
    (['evening', 'thorough'] as const).map((list) => ({ name, change, list })),
  );
  test.each(LISTS)('$name, $list list: the criterion is crossed inside the distances', ({ change, list }) => {
    const { predictions, request } = plan(change);
    const { expected } = plan(change)[list];
    const stated = predictions.findIndex((one) => one.stated);
    const dips = expected.map(({ dips: all }) => all[Math.max(stated, 0)]!);
    expect(Math.max(...dips)).toBeGreaterThan(request.criterion.requiredDip);
    expect(Math.min(...dips)).toBeLessThan(request.criterion.requiredDip);
    expect(Math.max(...expected.map((one) => one.distanceMm))).toBeLessThanOrEqual(request.roomMm);
  });

  test('at every distance the pair is nudged sideways by parts of the distance between two axes', () => {
    const pairs = plan().thorough.session.shots.filter((shot) => shot.kind === 'pair');
    const [first] = pairs;
    const nudges = pairs.filter((shot) => shot.distanceMm === first!.distanceMm).map((shot) => shot.acrossMm);
    const axisMm = 4.2 + (1.2 * first!.distanceMm!) / 150; // straight lines through both grids
    expect(nudges).toEqual([0, Math.round(axisMm / 3), Math.round((axisMm * 2) / 3)]);
    expect(new Set(pairs.map((shot) => shot.distanceMm)).size).toBeGreaterThanOrEqual(4);
  });

  test.each(['square', 'hexagonal'] as const)(
    'the session of a %s array reads back, every kind in it',
    (arrangement) => {
      const shifted = arrangement === 'hexagonal' ? { shiftedRows: 'odd' as const } : {};
      const { session } = withArray({ arrangement, ...shifted, rows: 5, columns: 3 }).thorough;
      const read = readSession(writeSession(session), 'session.yaml');
      expect(new Set(read.shots.map((shot) => shot.kind))).toEqual(
        new Set(['dark', 'even', 'bare', 'lamp', 'pair', 'single']),
      );
      expect(read.shots.filter((shot) => shot.kind === 'lamp').length).toBeGreaterThanOrEqual(9);
    },
  );
});

describe('the two lists', () => {
  const walked = (list: 'evening' | 'thorough') =>
    plan()[list].session.shots.flatMap((shot) => ('distanceMm' in shot ? [shot.distanceMm!] : []));

  test.each(['evening', 'thorough'] as const)(
    '%s: one walk away from the array, the bare sheet last',
    (list) => {
      expect(walked(list)).toEqual(walked(list).toSorted((a, b) => a - b));
      const kinds = plan()[list].session.shots.map((shot) => shot.kind);
      expect(kinds.slice(0, 1)).toEqual(['dark']);
      expect(kinds.at(-1)).toBe('bare');
    },
  );

  test('the evening takes some fifteen photos and finds a resolving distance and pointing', () => {
    const { session } = plan().evening;
    expect(session.shots.length).toBeLessThanOrEqual(18);
    expect(missingShots(session).map(({ kind }) => kind)).toEqual(['single']);
  });

  const lampsOf = ({ evening }: Plan) => evening.session.shots.filter((shot) => shot.kind === 'lamp');

  test.each([
    { rows: 40, columns: 50, frontPitchMm: 3.6, stand: 'triangles' },
    { rows: 24, columns: 30, frontPitchMm: 4.2, stand: 'triangles' },
    { rows: 8, columns: 10, frontPitchMm: 3.1, stand: 'a grid' },
  ])('nine lamps before $rows × $columns tubes stand in $stand', ({ stand, ...change }) => {
    const lamps = lampsOf(withArray(change));
    expect(lamps).toHaveLength(9);
    expect(new Set(lamps.map((shot) => shot.upMm)).size).toBe(stand === 'a grid' ? 3 : 4);
  });

  // A black tube sees lamps nearer to its axis than bore ÷ length: overlap of two circles.
  test('a tube that looks into the middle of a triangle sees its three lamps', () => {
    const lamps = lampsOf(withArray({ rows: 40, columns: 50, frontPitchMm: 3.6 }));
    const reachMm = (lamps[0]!.distanceMm! * 2.5) / 150;
    const rest = new Set(lamps);
    for (const corner of lamps) {
      if (!rest.has(corner)) continue;
      const off = (one: (typeof lamps)[number], of: { acrossMm?: number | null; upMm?: number | null }) =>
        Math.hypot(one.acrossMm! - of.acrossMm!, one.upMm! - of.upMm!);
      const three = [...rest].sort((a, b) => off(a, corner) - off(b, corner)).slice(0, 3);
      const middle = (axis: 'acrossMm' | 'upMm') => three.reduce((sum, lamp) => sum + lamp[axis]! / 3, 0);
      for (const lamp of three) {
        rest.delete(lamp);
        const away = off(lamp, { acrossMm: middle('acrossMm'), upMm: middle('upMm') });
        expect(away).toBeLessThan(0.85 * reachMm);
        expect(away).toBeGreaterThan(0.55 * reachMm);
      }
    }
    expect(rest.size).toBe(0);
  });

  test.each(['evening', 'thorough'] as const)(
    'the lamps of the %s stand where a tape measure has a long line, and the same on both sides',
    (name) => {
      const lamps = plan()[name].session.shots.filter((shot) => shot.kind === 'lamp');
      for (const { acrossMm, upMm } of lamps) {
        expect([acrossMm! % 5, upMm! % 5].map(Math.abs)).toEqual([0, 0]);
        expect(lamps).toContainEqual(expect.objectContaining({ acrossMm: 0 - acrossMm!, upMm }));
      }
    },
  );

  test('lamps too near each other for long steps keep their places to a millimetre', () => {
    const lamps = lampsOf(
      withArray({ tubeLengthMm: 400, tubeBoreMm: 1, backPitchMm: 1.2, frontPitchMm: 1.4 }),
    );
    expect(new Set(lamps.map(({ acrossMm, upMm }) => `${acrossMm} ${upMm}`)).size).toBe(9);
    expect(lamps.some(({ acrossMm }) => acrossMm! % 5 !== 0)).toBe(true);
  });

  test('a lamp is raised or lowered no more often than its heights are many', () => {
    const heights = lampsOf(plan()).map(({ upMm }) => upMm!);
    expect(heights).toEqual(heights.toSorted((a, b) => b - a));
  });

  test('a lamp of a sweep moves one place at a time', () => {
    const lamps = plan().thorough.session.shots.filter((shot) => shot.kind === 'lamp');
    for (const [n, lamp] of lamps.slice(1).entries()) {
      const moved = [lamp.acrossMm! !== lamps[n]!.acrossMm!, lamp.upMm! !== lamps[n]!.upMm!].filter(Boolean);
      expect(moved).toHaveLength(1);
    }
  });
});

describe('outer size', () => {
  // 29 pitches and a bore across, 23 and a bore up.
  test('from rim to rim of the outermost bores', () => {
    const { back, front } = plan().size;
    expect(back.acrossMm).toBeCloseTo(29 * 3 + 2.5, 9);
    expect(back.upMm).toBeCloseTo(23 * 3 + 2.5, 9);
    expect(front.acrossMm).toBeCloseTo(29 * 4.2 + 2.5, 9);
  });

  test('a shifted row makes a hexagonal array half a pitch wider', () => {
    const { back } = withArray({ arrangement: 'hexagonal', shiftedRows: 'odd', rows: 3, columns: 3 }).size;
    expect(back.acrossMm).toBeCloseTo(2.5 * 3 + 2.5, 9);
    expect(back.upMm).toBeCloseTo(2 * 3 * Math.sqrt(0.75) + 2.5, 9);
  });
});

describe('designs side by side', () => {
  test('one row a design, with its own figures', () => {
    const designs = [150, 120].map((tubeLengthMm) =>
      predictDesign({ ...REQUEST, array: { ...ARRAY, tubeLengthMm } }, seededRandom(7), 'here'),
    );
    const lines = designTable(designs).split('\n');
    expect(lines[0]).toMatch(/^length mm +bore mm/);
    expect(lines[1]).toMatch(/^150 +2\.5 +3 +4\.2/);
    expect(lines[2]).toMatch(/^120 +2\.5 +3 +4\.2/);
    // Shorter tubes see wider: 0.808 d/L.
    expect(designs[1]!.predictions[0]!.acceptanceWidthDeg).toBeGreaterThan(
      designs[0]!.predictions[0]!.acceptanceWidthDeg,
    );
  });
});

describe('refusals', () => {
  test('a room too short for lamps to be distant', () => {
    const short = () => plan({ roomMm: 400 });
    expect(short).toThrow(InputError);
    expect(short).toThrow('here: the room is 400 mm long; expected more than 450 mm');
  });
});

describe('planText', () => {
  test('says distance, light, sampling, every shot and the cautions', () => {
    const wide = plan({ array: { ...ARRAY, frontPitchMm: 9 }, known: { fNumber: 8, exposureS: 10 } });
    const text = planText(wide, ['Lamps get hot.']);
    const [matte] = wide.predictions;
    expect(text).toContain(
      `with a matte black wall: the two lamps show as two up to ${(matte!.resolving.distanceMm / 1000).toPrecision(3)} m`,
    );
    expect(text).toContain('a lens at f/60, exposure 9 min');
    expect(text).toContain('Exposures of paper or film are scaled from 10 s at f/8.');
    expect(text).toContain('Undersampled with a matte black wall');
    const farthest = wide.evening.expected.at(-1)!;
    expect(text).toContain(
      `${farthest.distanceMm / 1000} m ${farthest.dips.map((dip) => dip.toFixed(2)).join(' and ')}.`,
    );
    expect(text).toContain('- Lamps get hot.');
    expect(text.match(/^\[ \] /gm)).toHaveLength(
      wide.evening.session.shots.length + wide.thorough.session.shots.length,
    );
  });
});
