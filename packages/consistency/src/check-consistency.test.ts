import type { LitShot } from '@twolamp/flux';
import { seededRandom } from '@twolamp/optics';
import type { ArraySpec, LampShot, PairShot, Session, Shot } from '@twolamp/session';
import { expect, test } from 'vitest';
import {
  degrees,
  lampLight,
  lampShot,
  pairLight,
  pairShot,
  type RealArray,
  scatteredMisaim,
} from '../../flux/src/fixtures/lamp-lights.js';
import { checkConsistency } from './check-consistency.js';

const ARRAY: ArraySpec = {
  name: 'doubted',
  arrangement: 'square',
  rows: 10,
  columns: 14,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 3.8,
};
const LAMPS = 16;
const LAMPS_MM = 2500;

/** What was really shot: 4 × 4 lamps over the field, pairs at four distances with two nudges. */
const LIT = ((): LitShot<LampShot | PairShot>[] => {
  const random = seededRandom(5);
  const real: RealArray = {
    array: ARRAY,
    response: (slope) => Math.exp(-0.5 * (slope / degrees(0.6)) ** 2),
    misaim: scatteredMisaim(ARRAY, 0.05, random),
  };
  const dimmed = <S extends LampShot | PairShot>({ shot, light }: LitShot<S>): LitShot<S> => {
    const share = (1000 / shot.distanceMm) ** 2;
    return {
      shot,
      light: { ...light, flux: light.flux.map((v) => v * share), sigma: light.sigma.map((v) => v * share) },
    };
  };
  const lamps = Array.from({ length: LAMPS }, (_, n) =>
    lampShot(`lamp-${n + 1}.jpg`, ((n % 4) - 1.5) * 60, (1.5 - Math.floor(n / 4)) * 44, LAMPS_MM),
  );
  const pairs = [1500, 2000, 2700, 3500].flatMap((mm) => [
    pairShot(`pair-${mm}-a.jpg`, 60, mm, 0, 0),
    pairShot(`pair-${mm}-b.jpg`, 60, mm, 6, -4),
  ]);
  return [
    ...lamps.map((shot) => dimmed(lampLight(real, shot, 0.01, random))),
    ...pairs.map((shot) => dimmed(pairLight(real, shot, 0.01, random))),
  ];
})();
const RIGHT = LIT.map(({ shot }) => shot);

type Shots = readonly (LampShot | PairShot)[];
/** Every lamp's statement changed; the photos stay. */
const each = (change: (shot: LampShot | PairShot) => Partial<PairShot>) => (shots: Shots) =>
  shots.map((shot) => ({ ...shot, ...change(shot) }) as LampShot | PairShot);
/** Shot number n has what is stated of another. */
const relabelled = (from: (n: number) => number) => (shots: Shots) =>
  shots.map((shot, n) => ({ ...shots[from(n)], photo: shot.photo }));

function checked(array: Partial<ArraySpec>, shots: Shots, photos = LIT) {
  const session: Session = {
    array: { ...ARRAY, ...array },
    criterion: { name: 'rayleigh', requiredDip: 0.265 },
    lampDiameterMm: null,
    tone: 'srgb',
    shots: [...shots],
  };
  const lit: LitShot<Shot>[] = photos.map(({ light }, n) => ({ light, shot: shots[n] }));
  const open = new Float64Array(ARRAY.rows * ARRAY.columns).fill(1);
  const survey = { lit, backDepartures: null, comparable: true, unexposed: new Set<string>() };
  return checkConsistency(session, survey, open);
}

interface Case {
  readonly mistake: string;
  readonly array?: Partial<ArraySpec>;
  readonly change?: (shots: Shots) => Shots;
  readonly finding: object;
  /** Left out of the measurement; where empty, all figures that rest on lamps are doubtful. */
  readonly leftOut?: readonly string[];
}

const CASES: Case[] = [
  {
    mistake: 'front pitch',
    array: { frontPitchMm: 4.8 },
    finding: { code: 'doubt-length', about: 'array.front-pitch', values: { statedMm: 4.8 } },
  },
  {
    mistake: 'tube length in cm',
    array: { tubeLengthMm: 1500 },
    finding: { code: 'doubt-unit', about: 'array.tube-length', values: { fittingMm: 150 } },
  },
  {
    mistake: 'across mirrored',
    change: each((shot) => ({ acrossMm: -shot.acrossMm })),
    finding: { code: 'doubt-mirrored', about: 'shots.across', values: { fittingAxis: 'across' } },
  },
  {
    mistake: 'distances in feet',
    change: each((shot) => ({ distanceMm: shot.distanceMm * 0.3048 })),
    finding: { code: 'doubt-unit', about: 'shots.distance', values: { length: 'distance' } },
  },
  {
    mistake: 'across and up exchanged',
    change: each((shot) => (shot.kind === 'lamp' ? { acrossMm: shot.upMm, upMm: shot.acrossMm } : {})),
    finding: { code: 'doubt-axes-exchanged', values: { fittingKinds: 'lamp' } },
  },
  {
    mistake: 'labels shifted',
    change: relabelled((n) => (n < LAMPS - 1 ? n + 1 : n)),
    finding: { code: 'doubt-labels-shifted', values: { kind: 'lamp', fittingShift: 'the one before it' } },
  },
  {
    mistake: 'labels swapped',
    change: relabelled((n) => (n === 3 ? 10 : n === 10 ? 3 : n)),
    finding: {
      code: 'doubt-labels-swapped',
      values: { statedFirst: 'lamp-4.jpg', statedSecond: 'lamp-11.jpg' },
    },
    leftOut: ['lamp-4.jpg', 'lamp-11.jpg'],
  },
  {
    mistake: 'one distance',
    change: each((shot) => (shot.photo === 'pair-2000-a.jpg' ? { distanceMm: 3000 } : {})),
    finding: { code: 'doubt-number', about: `shots[${LAMPS + 3}].distance`, values: { statedMm: 3000 } },
    leftOut: ['pair-2000-a.jpg'],
  },
  {
    // 14 mm, 0.8 pitches of the lamps' plane: beyond what a tape measure and the tubes' own ways leave open.
    mistake: 'one place',
    change: each((shot) => (shot.photo === 'lamp-7.jpg' ? { acrossMm: shot.acrossMm + 14 } : {})),
    finding: { code: 'doubt-number', about: 'shots[7].across', values: { field: 'across', statedMm: 44 } },
    leftOut: ['lamp-7.jpg'],
  },
  {
    mistake: 'distances from the sheet',
    change: each((shot) => ({ distanceMm: shot.distanceMm + ARRAY.tubeLengthMm })),
    finding: { code: 'doubt-from-sheet', about: 'shots.distance', values: { fittingOffsetMm: -150 } },
  },
];

test.each(CASES)(
  'names the mistake: $mistake',
  ({ array = {}, change = (s) => s, finding, leftOut = [] }) => {
    const found = checked(array, change(RIGHT));
    expect(found.findings[0]).toMatchObject(finding);
    expect([...found.leftOut]).toEqual(leftOut);
    const doubtful = leftOut.length === 0;
    expect(found.doubtful).toEqual({ pointing: doubtful, pairs: doubtful });
    // Values that fit: those that were true when the photos were drawn, as near as the photos tell.
    const fitting = found.mended?.fitting.array;
    expect(Math.abs((fitting?.frontPitchMm ?? 0) - ARRAY.frontPitchMm)).toBeLessThan(0.03);
    expect(Math.abs((fitting?.tubeLengthMm ?? 0) - ARRAY.tubeLengthMm)).toBeLessThan(1e-9);
  },
);

test('a right statement is not doubted', () => {
  expect(checked({}, RIGHT)).toMatchObject({
    findings: [],
    leftOut: new Set(),
    unchecked: [{ code: 'distances-rest-on-tape' }],
    doubtful: { pointing: false, pairs: false },
    mended: null,
  });
});

test('distances are told to rest on the tape as far as larger errors of all of them are named', () => {
  const [{ values }] = checked({}, RIGHT).unchecked;
  const { shorterShare, longerShare } = values as { shorterShare: number; longerShare: number };
  const scaledBy = (factor: number) =>
    checked({}, each((shot) => ({ distanceMm: shot.distanceMm * factor }))(RIGHT));
  expect(shorterShare).toBeGreaterThan(0.03);
  expect(longerShare).toBeGreaterThan(0.03);
  // The true distances are shorter than stated ones that are too long.
  expect(scaledBy(1 / (1 - 1.5 * shorterShare)).findings).not.toEqual([]);
  expect(scaledBy(1 / (1 + 1.5 * longerShare)).findings).not.toEqual([]);
  expect(scaledBy(1 / (1 - 0.5 * shorterShare)).findings).toEqual([]);
  expect(scaledBy(1 / (1 + 0.5 * longerShare)).findings).toEqual([]);
});

test('pairs whose images are as wide as the array are told', () => {
  // Three quarters of a degree to one side lets a tube see 1/e of a lamp: the image is wider than ten rows see.
  const wide: RealArray = {
    array: { ...ARRAY, frontPitchMm: 3.2 },
    response: (slope) => Math.exp(-0.5 * (slope / degrees(0.75)) ** 2),
    misaim: scatteredMisaim(ARRAY, 0.05, seededRandom(6)),
  };
  const random = seededRandom(7);
  const photos = LIT.map(({ shot }) =>
    shot.kind === 'lamp' ? lampLight(wide, shot, 0.01, random) : pairLight(wide, shot, 0.01, random),
  );
  const told = (lit: typeof LIT) =>
    checked({ frontPitchMm: 3.2 }, RIGHT, lit).unchecked.find(({ code }) => code === 'pair-images-wide');
  expect(told(photos)?.values).toMatchObject({ photos: expect.arrayContaining(['pair-3500-a.jpg']) });
  expect(checked({}, RIGHT).unchecked.map(({ code }) => code)).not.toContain('pair-images-wide');
});

test.each([
  {
    photo: 'that brightens towards one side fits no place',
    light: (column: number) => 0.1 + column ** 2,
    told: { findings: [{ code: 'doubt-photo', about: 'lamp-6.jpg' }], unchecked: [] },
  },
  {
    photo: 'as bright everywhere shows no image of a lamp',
    light: () => 0.5,
    told: {
      findings: [],
      unchecked: [
        { code: 'lamp-images-unclear', values: { photos: ['lamp-6.jpg'] } },
        { code: 'distances-rest-on-tape' },
      ],
    },
  },
])('a lamp photo $photo', ({ light, told }) => {
  const lit = LIT.map((one, n) => {
    const flux = one.light.flux.map((_, k) => light(k % ARRAY.columns));
    return n === 5 ? { ...one, light: { ...one.light, flux } } : one;
  });
  expect(checked({}, RIGHT, lit)).toMatchObject(told);
});
