import { previewScene } from '@twolamp/measure';
import { seededRandom } from '@twolamp/optics';
import type { CellResult, Result } from '@twolamp/session';
import { type Plan, readPlan } from '@twolamp/simulate';
import { describe, expect, test } from 'vitest';
import { typicalResult } from '../packages/measure/src/fixtures/results.js';
import { flatScene } from '../packages/measure/src/fixtures/scenes.js';
import { type Bench, buildBench } from '../packages/simulate/src/array/bench.js';
import { projection } from '../packages/simulate/src/camera/projection.js';
import { truthOf } from '../packages/simulate/src/truth/truth.js';
import { lightOfScene } from './scene-of-lamps.js';

const PLAN = (array: string, wall: string) => `format: twolamp-plan/1
seed: 11
array: { name: Panel, rows: 12, columns: 15, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm, ${array} }
photo: { width: 480, height: 400 }
light: { unevenness: 0.1 }
build: { wall: ${wall}, pointing-jitter: 0.1 deg, transmission-scatter: 0.05, crosstalk: 0.02, outline-bulge: 0.6 mm }
faults:
  list:
    - { fault: leaky, row: 6, column: 9, to: { row: 6, column: 10 }, share: 0.12 }
    - { fault: misaimed, row: 3, column: 4, across: 1.2 mm, up: -0.8 mm }
    - { fault: bent, row: 8, column: 6, bow: 1.2 mm, direction: 40 deg }
    - { fault: open, row: 10, column: 12 }
  blocked: 4
  weak: 4
shots: [{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m }]
`;

/** Standard uncertainties as a good session has them, of relative transmission, of each direction and of widths. */
const SIGMA = { relative: 0.01, pointingDeg: 0.05, width: 0.05 };

/** A result as a good session of this array would give: what is true, with the errors of a measurement. */
function asMeasured(plan: Plan, bench: Bench): Result {
  const truth = truthOf(bench, [], [], projection(plan, { xPx: 0, yPx: 0 }));
  const random = seededRandom(3);
  const { tubeWall: _, ...array } = plan.array;
  const result = typicalResult(array, 1, ({ row, column, transmission }): Partial<CellResult> => {
    const cell = truth.cells[(row - 1) * array.columns + column - 1]!;
    const isLit = cell.relativeTransmission > 0.05;
    return {
      transmission: {
        ...transmission,
        relative: cell.relativeTransmission + SIGMA.relative * random.normal(),
      },
      pointing: isLit
        ? {
            acrossDeg: cell.pointing.acrossDeg + SIGMA.pointingDeg * random.normal(),
            upDeg: cell.pointing.upDeg + SIGMA.pointingDeg * random.normal(),
            uncertaintyDeg: SIGMA.pointingDeg,
            errorDeg: null,
            acceptanceWidthDeg: cell.acceptanceWidthDeg * (1 + SIGMA.width * random.normal()),
          }
        : null,
      crosstalk: cell.fault === 'leaky' ? cell.crosstalk : null,
      fault: cell.fault,
    };
  });
  const { meanTotal, kernel } = truth.crosstalk;
  return {
    ...result,
    crosstalk: kernel && { tubesTested: 8, meanTotal, kernel: kernel.map((shares) => [...shares]) },
    pull: result.cells.flatMap(({ row, column, fault }) =>
      fault === 'none' ? [] : [{ row, column, fault, gain: 0 }],
    ),
  };
}

/** Bars, a bright disc at the upper right, a lamp at the lower left: nothing that looks the same mirrored. */
const SCENE = flatScene({ width: 60, height: 48, widthMm: 270, distanceMm: 1500 }, (x, y) => {
  const bars = x % 14 < 5 ? 0.35 : 0.05;
  const disc = Math.hypot(x - 42, y - 14) < 9 ? 0.9 : 0;
  const lamp = Math.hypot(x - 13, y - 36) < 2 ? 1 : 0;
  return Math.max(bars, disc, lamp);
});

/** Pearson's correlation. */
function correlation(one: readonly number[], other: ArrayLike<number>): number {
  const centred = (values: readonly number[]) => {
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    return values.map((value) => value - mean);
  };
  const dot = (x: readonly number[], y: readonly number[]) =>
    x.reduce((sum, value, i) => sum + value * y[i]!, 0);
  const a = centred(one);
  const b = centred(Array.from(other));
  return dot(a, b) / Math.sqrt(dot(a, a) * dot(b, b));
}

describe('a preview agrees with what the simulator’s tubes make of the scene', () => {
  // Rays traced through each tube with its bow, its own front end and its leaks, against the preview from figures alone.
  test.each([
    ['square, black walls', 'arrangement: square', '{ index: 1.5, extinction: 0, gloss: 0 }'],
    ['square, glossy', 'arrangement: square', '{ index: 1.5, extinction: 0, gloss: 0.8 }'],
    [
      'hexagonal, some gloss',
      'arrangement: hexagonal, shifted-rows: even',
      '{ index: 1.5, extinction: 0, gloss: 0.4 }',
    ],
  ])('%s', (_, array, wall) => {
    const plan = readPlan(PLAN(array, wall), 'plan.yaml');
    const bench = buildBench(plan);
    const out = lightOfScene(bench, { ...SCENE, ...SCENE.photo });
    const { preview } = previewScene(asMeasured(plan, bench), SCENE, seededRandom(1));
    const previewed = preview.tubes.map((tube) => tube.asMeasured);
    expect(correlation(previewed, out)).toBeGreaterThan(0.99);
    const columns = plan.array.columns;
    const mirrored = previewed.map((_, i) => previewed[i - (i % columns) + columns - 1 - (i % columns)]!);
    expect(correlation(mirrored, out)).toBeLessThan(0.7);
    expect(preview.similarity!.repaired).toBeGreaterThan(preview.similarity!.asMeasured);
  });
});
