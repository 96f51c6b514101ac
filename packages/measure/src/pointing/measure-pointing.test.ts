import {
  axisSlopes,
  circleOverlap,
  frontPlace,
  HALF_MAXIMUM_SHIFT,
  type Random,
  seededRandom,
} from '@twolamp/optics';
import { type ArraySpec, finding, type LampShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { LitShot } from '@twolamp/flux';
import { measurePointing, type PointingSurvey } from './measure-pointing.js';

const ARRAY: ArraySpec = {
  name: 'bench',
  arrangement: 'square',
  rows: 9,
  columns: 12,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const TUBES = ARRAY.rows * ARRAY.columns;
const DISTANCE_MM = 1800;
const PER_DEG = Math.PI / 180;

interface Tube {
  gain: number;
  width: number;
  /** Slopes of its axis. */
  across: number;
  up: number;
  /** Several copies of the acceptance, moved aside: a lopsided one whose centre of gravity is known. */
  parts: { share: number; across: number; up: number }[];
  /** How far its back end sits aside, mm; 0 where not given. */
  back?: { across: number; up: number };
}

/** Acceptance against slope off the axis, and its full width at half maximum in closed form. */
const ACCEPTANCES = {
  glossy: { at: (r: number) => Math.exp(-r / 0.04), widthDeg: (2 * 0.04 * Math.LN2) / PER_DEG },
  round: {
    at: (r: number) => Math.exp(-((r / 0.03) ** 2)),
    widthDeg: (2 * 0.03 * Math.sqrt(Math.LN2)) / PER_DEG,
  },
  absorbing: {
    at: (r: number) => circleOverlap(r / 0.04),
    widthDeg: (2 * 0.04 * HALF_MAXIMUM_SHIFT) / PER_DEG,
  },
};
type Acceptance = (typeof ACCEPTANCES)[keyof typeof ACCEPTANCES];

/** Straight tubes, each a little off: 0.15° aside, 2 % wide, 3 % bright. */
function healthyTubes(random: Random): Tube[] {
  return Array.from({ length: TUBES }, (_, n) => {
    const due = axisSlopes(ARRAY, 1 + Math.floor(n / ARRAY.columns), 1 + (n % ARRAY.columns));
    return {
      gain: 1 + 0.03 * random.normal(),
      width: 1 + 0.02 * random.normal(),
      across: due.across + 0.15 * PER_DEG * random.normal(),
      up: due.up + 0.15 * PER_DEG * random.normal(),
      parts: [{ share: 1, across: 0, up: 0 }],
    };
  });
}

/** The front end sits aside of the back end by slope × length. */
function frontOf(tube: Tube, n: number) {
  const row = 1 + Math.floor(n / ARRAY.columns);
  const column = 1 + (n % ARRAY.columns);
  const place = frontPlace(ARRAY, row, column);
  const due = axisSlopes(ARRAY, row, column);
  const { back } = tube;
  return {
    acrossMm: place.acrossMm + (tube.across - due.across) * ARRAY.tubeLengthMm + (back?.across ?? 0),
    upMm: place.upMm + (tube.up - due.up) * ARRAY.tubeLengthMm + (back?.up ?? 0),
  };
}

/** No two tubes answer quite alike: by this share of the light, which no stated uncertainty knows of. */
const INDIVIDUAL = 0.02;

/** Lamps on a grid that covers where all tubes look; noise of 1 % of the light and 0.2 % of the most. */
function shoot(
  tubes: Tube[],
  acceptance: Acceptance,
  nx: number,
  ny: number,
  random: Random,
): LitShot<LampShot>[] {
  const places = Array.from({ length: nx * ny }, (_, i) => ({
    acrossMm: (2 * (i % nx)) / (nx - 1) - 1,
    upMm: (2 * Math.floor(i / nx)) / (ny - 1) - 1,
  }));
  return places.map((place, i) => {
    const acrossMm = 125 * place.acrossMm;
    const upMm = 100 * place.upMm;
    const flux = new Float64Array(TUBES);
    const sigma = new Float64Array(TUBES);
    tubes.forEach((tube, n) => {
      const front = frontOf(tube, n);
      const r = Math.hypot(acrossMm - front.acrossMm, upMm - front.upMm, DISTANCE_MM);
      const slopeAcross = (acrossMm - front.acrossMm) / DISTANCE_MM - tube.across;
      const slopeUp = (upMm - front.upMm) / DISTANCE_MM - tube.up;
      const passed = tube.parts.reduce(
        (sum, part) =>
          sum +
          part.share * acceptance.at(Math.hypot(slopeAcross - part.across, slopeUp - part.up) / tube.width),
        0,
      );
      const own = 1 + INDIVIDUAL * random.normal();
      const light = 5000 * tube.gain * passed * own * (DISTANCE_MM / r) ** 3;
      sigma[n] = Math.hypot(0.01 * light, 10);
      flux[n] = light + sigma[n] * random.normal();
    });
    const shot: LampShot = {
      photo: `lamp-${i}.png`,
      stated: {},
      kind: 'lamp',
      acrossMm,
      upMm,
      distanceMm: DISTANCE_MM,
    };
    return { shot, light: { flux, sigma, clipped: new Uint8Array(TUBES) } };
  });
}

function relativeOf(tubes: Tube[], random: Random): Float64Array {
  return Float64Array.from(tubes, (tube) => tube.gain * tube.width ** 2 + 0.01 * random.normal());
}

const relativeSigma = new Float64Array(TUBES).fill(0.01);

function centreDeg(tube: Tube) {
  const aside = (axis: 'across' | 'up') => tube.parts.reduce((sum, part) => sum + part.share * part[axis], 0);
  return {
    across: Math.atan(tube.across + aside('across')) / PER_DEG,
    up: Math.atan(tube.up + aside('up')) / PER_DEG,
  };
}

/** Errors of pointing along both axes, degrees and standard uncertainties. */
function errorsOf(survey: PointingSurvey, tubes: Tube[], which: (n: number) => boolean) {
  const deg: number[] = [];
  const pulls: number[] = [];
  survey.tubes.forEach((found, n) => {
    if (found === null || !which(n)) return;
    const truth = centreDeg(tubes[n]);
    for (const off of [found.acrossDeg - truth.across, found.upDeg - truth.up]) {
      deg.push(off);
      pulls.push(off / found.uncertaintyDeg);
    }
  });
  return { deg, pulls };
}

const rms = (values: number[]) =>
  Math.sqrt(values.reduce((sum, value) => sum + value ** 2, 0) / values.length);

describe('measurePointing', () => {
  test.each(Object.entries(ACCEPTANCES))('healthy %s tubes in a sweep of 9 × 7', (_, acceptance) => {
    const random = seededRandom(11);
    const tubes = healthyTubes(random);
    const shots = shoot(tubes, acceptance, 9, 7, random);
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    const { deg, pulls } = errorsOf(survey, tubes, () => true);
    expect(deg).toHaveLength(2 * TUBES);
    expect(rms(deg)).toBeLessThan(0.05);
    expect(rms(pulls)).toBeGreaterThan(0.6);
    expect(rms(pulls)).toBeLessThan(1.5);
    // The goal of the bench: acceptance width within 3 %.
    const widthOff = survey.typicalWidthDeg! / acceptance.widthDeg - 1;
    expect(Math.abs(widthOff)).toBeLessThan(0.03);
    expect(Math.abs(widthOff)).toBeLessThan(3 * survey.common!.widthShare);
    expect(survey.tubes.filter((tube) => tube!.ownShape).length).toBeLessThanOrEqual(1);
    expect(survey.findings).toEqual([]);
  });

  test('black tubes under nine lamps, half of them lit by three or more', () => {
    const pulls = [1, 2, 3, 4, 5, 6].flatMap((seed) => {
      const random = seededRandom(seed);
      const tubes = healthyTubes(random);
      // Lamps stand 1.1 radii apart, as in a short evening.
      const wide = { ...ACCEPTANCES.absorbing, at: (r: number) => circleOverlap(r / 0.062) };
      const shots = shoot(tubes, wide, 3, 3, random);
      const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
      return errorsOf(survey, tubes, () => true).pulls;
    });
    expect(pulls.length).toBeGreaterThan(6 * 100);
    // Individual light and widths, 2 % each, can't be told from so few lamps: not quite 95 %.
    expect(pulls.filter((pull) => Math.abs(pull) < 1.96).length / pulls.length).toBeGreaterThan(0.85);
    expect(rms(pulls)).toBeGreaterThan(0.5);
  });

  test('bent and misaimed tubes: where they look, and that only the bent ones see a shape of their own', () => {
    const random = seededRandom(12);
    const tubes = healthyTubes(random);
    const bent = [17, 41, 52, 75, 90];
    const misaimed = [20, 31, 64, 87];
    bent.forEach((n, i) => {
      const angle = i;
      // Bow to one side: four copies, ever fainter outwards.
      tubes[n].parts = [0.4, 0.3, 0.2, 0.1].map((share, k) => ({
        share,
        across: (0.015 + 0.012 * k) * Math.cos(angle),
        up: (0.015 + 0.012 * k) * Math.sin(angle),
      }));
    });
    misaimed.forEach((n, i) => {
      tubes[n].across += 0.02 * Math.cos(i);
      tubes[n].up += 0.02 * Math.sin(i);
    });
    const shots = shoot(tubes, ACCEPTANCES.glossy, 9, 7, random);
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    const own = [...survey.tubes.keys()].filter((n) => survey.tubes[n]!.ownShape);
    expect(own).toEqual(expect.arrayContaining(bent));
    expect(own.length).toBeLessThanOrEqual(bent.length + 1);
    // The lopsided light's centre lies 1.55° aside; a tenth of that is well inside what a bow is wanted to.
    expect(rms(errorsOf(survey, tubes, (n) => bent.includes(n)).deg)).toBeLessThan(0.15);
    expect(rms(errorsOf(survey, tubes, (n) => misaimed.includes(n)).deg)).toBeLessThan(0.05);
    for (const n of bent) expect(survey.tubes[n]!.error!.totalDeg).toBeGreaterThan(1);
    for (const n of misaimed) expect(Math.abs(survey.tubes[n]!.error!.totalDeg - 1.146)).toBeLessThan(0.5);
  });

  test('tubes that end aside at the sheet, as the photo shows, see the lamps from there', () => {
    const random = seededRandom(19);
    const aside = () => ({ across: 2 * random.normal(), up: 2 * random.normal() });
    const tubes = healthyTubes(random).map((tube) => ({ ...tube, back: aside() }));
    const shots = shoot(tubes, ACCEPTANCES.round, 9, 7, random);
    const relative = relativeOf(tubes, random);
    const backs = {
      acrossMm: Float64Array.from(tubes, ({ back }) => back.across),
      upMm: Float64Array.from(tubes, ({ back }) => back.up),
      sigmaMm: new Float64Array(TUBES),
    };
    const told = errorsOf(
      measurePointing(ARRAY, shots, 0, relative, relativeSigma, backs),
      tubes,
      () => true,
    );
    expect(rms(told.pulls)).toBeGreaterThan(0.8);
    expect(rms(told.pulls)).toBeLessThan(1.25);
    // Untold, 2 mm aside at 1.8 m are 0.064°.
    const untold = errorsOf(
      measurePointing(ARRAY, shots, 0, relative, relativeSigma, null),
      tubes,
      () => true,
    );
    expect(rms(untold.deg)).toBeGreaterThan(0.05);
    expect(rms(told.deg)).toBeLessThan(rms(untold.deg) / 2);
  });

  test('nine lamps do for wide tubes, and a finding says what more would bring', () => {
    const random = seededRandom(13);
    const wide = { at: (r: number) => Math.exp(-((r / 0.08) ** 2)), widthDeg: 0 };
    const tubes = healthyTubes(random);
    const shots = shoot(tubes, wide, 3, 3, random);
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    const { deg, pulls } = errorsOf(survey, tubes, () => true);
    expect(deg.length).toBeGreaterThan(1.9 * TUBES);
    expect(rms(deg)).toBeLessThan(0.15);
    expect(rms(pulls)).toBeLessThan(1.5);
    expect(survey.findings.at(-1)).toMatchObject({
      code: 'sweep-partial',
      values: { lamps: 9, fullSweep: 63 },
    });
  });

  test('lamps far apart light a tube alike from two sides: it looks where its neighbours do', () => {
    const random = seededRandom(18);
    // Lamps 1.6 acceptances apart: each tube is lit by one of them, and could as well look as far beyond it.
    const narrow = { at: (r: number) => circleOverlap(r / 0.06), widthDeg: 0 };
    const tubes = healthyTubes(random).map((tube, n) => {
      const due = axisSlopes(ARRAY, 1 + Math.floor(n / ARRAY.columns), 1 + (n % ARRAY.columns));
      return { ...tube, across: due.across + 0.1 * (tube.across - due.across), up: due.up };
    });
    const shots = shoot(tubes, narrow, 3, 3, random);
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    const { deg } = errorsOf(survey, tubes, () => true);
    expect(deg.length).toBeGreaterThan(TUBES);
    expect(Math.max(...deg.map(Math.abs))).toBeLessThan(0.8);
    expect(survey.gaps).not.toContain('beyond the sweep');
  });

  test('tubes without light, and tubes that look past the sweep, have no pointing', () => {
    const random = seededRandom(14);
    const tubes = healthyTubes(random);
    tubes[33].gain = 0;
    tubes[0].across -= 0.06;
    const shots = shoot(tubes, ACCEPTANCES.round, 9, 7, random);
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    expect([survey.tubes[33], survey.gaps[33]]).toEqual([null, 'dark']);
    expect(survey.tubes[0]).toBeNull();
    expect(['few lamps', 'beyond the sweep', 'unsure']).toContain(survey.gaps[0]);
    expect(survey.gaps.filter((gap) => gap !== null)).toHaveLength(2);
  });

  test('clipped photos are lower bounds', () => {
    const random = seededRandom(15);
    const tubes = healthyTubes(random);
    const shots = shoot(tubes, ACCEPTANCES.round, 9, 7, random);
    for (const { light } of shots) {
      light.flux.forEach((flux, n) => {
        if (flux < 3500) return;
        light.flux[n] = 3500;
        light.clipped[n] = 1;
      });
    }
    const survey = measurePointing(ARRAY, shots, 0, relativeOf(tubes, random), relativeSigma, null);
    expect(rms(errorsOf(survey, tubes, () => true).deg)).toBeLessThan(0.05);
  });

  test.each([4, 0])('%d lamp places give a finding and no pointing', (lamps) => {
    const random = seededRandom(16);
    const shots = shoot(healthyTubes(random), ACCEPTANCES.round, 3, 3, random).slice(0, lamps);
    const survey = measurePointing(ARRAY, shots, 0, null, null, null);
    expect(survey.tubes.every((tube) => tube === null)).toBe(true);
    expect(survey.findings).toEqual([finding('lamps-too-few', 'pointing', { lamps, needed: 9 })]);
  });

  test('a sweep in the dark gives a finding and no pointing', () => {
    const random = seededRandom(17);
    const tubes = healthyTubes(random).map((tube) => ({ ...tube, gain: 0 }));
    const survey = measurePointing(ARRAY, shoot(tubes, ACCEPTANCES.round, 3, 3, random), 0, null, null, null);
    expect(survey.common).toBeNull();
    expect(survey.findings).toEqual([finding('lamps-light-too-few-tubes', 'pointing', { lamps: 9 })]);
  });
});
