import { measureSurvey } from '@twolamp/measure';
import type { Result } from '@twolamp/session';
import { beforeAll, describe, expect, test } from 'vitest';
import { coverageOf } from '../bench/peers/coverage.js';
import { type LightSession, lightSessions } from '../bench/peers/light-sessions.js';
import { rendererPython } from '../bench/peers/render-peer.js';
import { scorePeer } from '../bench/peers/score-peer.js';
import { heldFigures } from './held/held-figures.js';

/**
 * Many sessions of the second renderer without photos: the light of each cell with noise, four lamps and pairs at six distances.
 * The intervals are counted that hold the truth. Nothing was tuned on these seeds.
 */
const FIRST_SEED = 1000;
const SESSIONS = 40;
const TIMEOUT_MS = 600_000;

const python = rendererPython();
const MISSING = 'skipped, needs python3-numpy, python3-scipy and imagemagick of Debian';

describe.skipIf(python === null)(
  `many sessions of light alone${python === null ? ` (${MISSING})` : ''}`,
  () => {
    let sessions: LightSession[];
    let results: Result[];

    beforeAll(async () => {
      sessions = await lightSessions(python!, FIRST_SEED, SESSIONS);
      results = sessions.map(({ session, survey }) => measureSurvey(session, survey).result);
    }, TIMEOUT_MS);

    const figure = (name: 'transmission' | 'dip' | 'resolving') =>
      coverageOf(sessions.flatMap(({ truth }, n) => scorePeer(truth, results[n]!))).find(
        (one) => one.figure === name,
      )!;

    // Nine in ten should. Where glossy tubes show one lamp all over so small an array, distances come out up to a tenth too far, and
    // the interval doesn't say so (bench/peers/README.md). A 50 % interval, or one without the model's error, holds half.
    test('intervals of the resolving distance hold the truth in three of four sessions', () => {
      const { count, held, rms } = figure('resolving');
      expect(count).toBe(SESSIONS);
      expect(held!).toBeGreaterThan(0.75);
      expect(rms).toBeLessThan(0.04);
    });

    test('intervals of relative transmission hold the truth, and no wider ones would', () => {
      const { held, pull } = figure('transmission');
      expect(held!).toBeGreaterThan(0.93);
      expect(pull!).toBeGreaterThan(0.6);
    });

    // Tubes pass up to 15 % more or less than each other: dips read without allowing for it are off by several hundredths.
    test('dips lie within 0.02 of the truth, in all neither too deep nor too flat', () => {
      expect(figure('dip').rms).toBeLessThan(0.02);
      const pairs = sessions.flatMap(({ truth }, n) =>
        truth.pairs.map(({ dipScattered }, k) => ({ known: dipScattered, got: results[n]!.pairs[k]!.dip! })),
      );
      const sum = (of: (pair: (typeof pairs)[number]) => number) =>
        pairs.reduce((all, pair) => all + of(pair), 0);
      expect(
        Math.abs(sum(({ known, got }) => known * got) / sum(({ known }) => known ** 2) - 1),
      ).toBeLessThan(0.02);
    });

    test('all that they state is true, and none is called doubtful', () => {
      expect(
        results.flatMap(({ findings }) => findings.filter(({ code }) => code.startsWith('doubt-'))),
      ).toEqual([]);
    });

    test('a pair is called separate by its own dip, or left open', () => {
      for (const { pairs, resolving } of results) {
        for (const { dip, separate } of pairs) {
          if (separate !== null) expect(separate).toBe(dip! >= resolving!.requiredDip);
        }
      }
    });

    test('fainter lamps give less certain dips', () => {
      const typical = (faint: boolean) => {
        const stated = sessions.flatMap(({ survey }, n) => {
          const pair = survey.lit.find(({ shot }) => shot.kind === 'pair')!.light;
          const top = pair.flux.reduce((most, light, k) => (light > pair.flux[most]! ? k : most), 0);
          const isFaint = pair.sigma[top]! / pair.flux[top]! > 0.003;
          return isFaint === faint ? results[n]!.pairs.map(({ dipUncertainty }) => dipUncertainty!) : [];
        });
        return stated.sort((a, b) => a - b)[stated.length >> 1]!;
      };
      expect(typical(true)).toBeGreaterThan(1.02 * typical(false));
    });

    // Cells between the two images that show a tenth more light than their neighbours say fill the valley.
    test('light between the lamps makes the dip flatter', () => {
      const { session, survey } = sessions[0]!;
      const [nearest] = results[0]!.pairs;
      const lightened = (isLit: (along: number, aside: number) => boolean) => {
        const lit = survey.lit.map((one) => {
          if (one.shot.photo !== nearest!.photo) return one;
          const { flux } = one.light;
          const total = flux.reduce((sum, light) => sum + Math.max(0, light), 0);
          const middle = (of: Float64Array) =>
            flux.reduce((sum, light, k) => sum + Math.max(0, light) * of[k]!, 0) / total;
          const [x0, y0] = [middle(survey.cells.x), middle(survey.cells.y)];
          const turned = nearest!.turnedDeg === 0;
          const brighter = flux.map((light, k) => {
            const [x, y] = [(survey.cells.x[k]! - x0) / 20, (survey.cells.y[k]! - y0) / 20];
            return isLit(turned ? x : y, turned ? y : x) ? 1.1 * light : light;
          });
          return { ...one, light: { ...one.light, flux: brighter } };
        });
        return measureSurvey(session, { ...survey, lit }).result.pairs[0]!.dip!;
      };
      const before = nearest!.dip!;
      const half = nearest!.separationCells! / 2;
      const between = lightened((along, aside) => Math.abs(along) < half / 2 && Math.abs(aside) < 1.5);
      expect(between).toBeLessThan(before - 0.005);
    });

    heldFigures('light', () => results[0]!);
    // Other walls, arrangements and brightnesses, drawn with the seed.
    for (const n of [7, 14, 21, 28]) heldFigures(`light-${n}`, () => results[n]!, 'faulty');
  },
);
