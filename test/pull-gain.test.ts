import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Measurement, measureSession } from '@twolamp/measure';
import { axisSlopes, frontPlace } from '@twolamp/optics';
import { readPhoto } from '@twolamp/photos';
import { type PullEntry, readSession } from '@twolamp/session';
import { readPlan, simulateSession } from '@twolamp/simulate';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type PictureCell, pictureDip } from '../packages/measure/src/faults/picture-dip.js';
import { type Bench, buildBench } from '../packages/simulate/src/array/bench.js';
import { tubeLight } from '../packages/simulate/src/shots/passed-light.js';

/**
 * An array with twelve faulty tubes is photographed and measured, which predicts what pulling the first of the list
 * brings. Then the simulator builds the same array with these tubes replaced, all others as they were, and shows what it
 * really brings: light by light, without a camera.
 */
const FAULTS = [
  '{ row: 3, column: 4, fault: blocked }',
  '{ row: 9, column: 11, fault: blocked }',
  '{ row: 6, column: 8, fault: blocked }',
  '{ row: 4, column: 9, fault: weak, transmission: 0.4 }',
  '{ row: 10, column: 5, fault: weak, transmission: 0.7 }',
  '{ row: 7, column: 12, fault: open }',
  '{ row: 5, column: 5, fault: bent, bow: 2 mm, direction: 30 deg }',
  '{ row: 8, column: 7, fault: bent, bow: 1.2 mm, direction: 200 deg }',
  '{ row: 5, column: 12, fault: misaimed, across: 2 mm, up: 0.8 mm }',
  '{ row: 9, column: 8, fault: misaimed, across: -0.6 mm, up: 1.2 mm }',
  '{ row: 7, column: 4, fault: leaky, to: { row: 7, column: 5 }, share: 0.16 }',
  '{ row: 4, column: 7, fault: leaky, to: { row: 3, column: 7 }, share: 0.08 }',
];
const ROWS = 12;
const COLUMNS = 15;
const TUBES = ROWS * COLUMNS;
const SPACING_MM = 64;

const LAMPS = Array.from({ length: 8 * 6 }, (_, n) => {
  const across = -126 + 36 * (n % 8);
  const up = 90 - 36 * Math.floor(n / 8);
  return `{ kind: lamp, across: ${across} mm, up: ${up} mm, distance: 2.5 m }`;
});
const PAIRS = [1.5, 2, 2.5, 3.2].map(
  (distance) => `{ kind: pair, spacing: ${SPACING_MM} mm, distance: ${distance} m, across: 3 mm }`,
);
const SINGLES = [
  [7, 4],
  [4, 7],
  [9, 3],
].map(([row, column]) => `{ kind: single, row: ${row}, column: ${column} }`);
const QUIRKS = 'placement-jitter: 0.05 mm, pointing-jitter: 0.04 deg, transmission-scatter: 0.03, ';

function plan(faults: readonly string[], quirks = QUIRKS) {
  return readPlan(
    `format: twolamp-plan/1
seed: 11
array: { name: Test panel, arrangement: square, rows: ${ROWS}, columns: ${COLUMNS}, tube-length: 150 mm, tube-bore: 2.6 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 260, height: 208, format: png16 }
sheet: { halo-share: 0.05 }
build: { wall: { index: 1.5, extinction: 0, gloss: 0.4 }, ${quirks}crosstalk: 0.008 }
faults: { list: [${faults.join(', ')}] }
lamp: { diameter: 6 mm, candela: 60 }
shots: [${['{ kind: dark }', '{ kind: even, repeats: 2 }', ...LAMPS, ...PAIRS, ...SINGLES].join(', ')}]
`,
    'plan.yaml',
  );
}

/** Photos are made and measured, on whatever machine. */
const TIMEOUT_MS = 240_000;

let folder: string;
let before: Measurement;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-pull-'));
  const { session: text } = await simulateSession(plan(FAULTS), (photo, file) =>
    writeFile(join(folder, photo), file),
  );
  before = await measureSession(readSession(text, 'session.yaml'), ({ photo }) =>
    readPhoto(join(folder, photo), { tone: 'srgb', channel: 'luminance' }),
  );
}, TIMEOUT_MS);
afterAll(() => rm(folder, { recursive: true }));

const broken = buildBench(plan(FAULTS));
/** The plan with the first tubes of the list replaced: other faults stay. */
function repaired(first: readonly PullEntry[]): Bench {
  const isReplaced = (fault: string) =>
    first.some(({ row, column }) => fault.startsWith(`{ row: ${row}, column: ${column},`));
  return buildBench(plan(FAULTS.filter((fault) => !isReplaced(fault))));
}
const lampAt = (across: number, up: number, distance: number) =>
  ({ kind: 'lamp', repeats: 1, across, up, distance }) as const;
const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);

/** Of each tube, the light in common before and after over the greater of both, lamps standing everywhere. */
function inCommon(one: Bench, other: Bench): number[] {
  const sums = Array.from({ length: TUBES }, () => ({ common: 0, one: 0, other: 0 }));
  for (let across = -270; across <= 270; across += 30) {
    for (let up = -240; up <= 240; up += 30) {
      const lamp = lampAt(across, up, 2500);
      const [old, fresh] = [tubeLight(one, lamp).out, tubeLight(other, lamp).out];
      sums.forEach((all, tube) => {
        all.common += Math.min(old[tube]!, fresh[tube]!);
        all.one += old[tube]!;
        all.other += fresh[tube]!;
      });
    }
  }
  return sums.map((all) => all.common / Math.max(all.one, all.other));
}

/** Mean dip of two lamps as the arrays paint it, their middle laid on every second cell, a chessboard's; one an array. */
function paintedDips(benches: readonly Bench[], distanceMm: number): number[] {
  const perfect = buildBench(plan([], ''));
  const { array } = perfect.plan;
  const half = SPACING_MM / distanceMm / 2;
  const reading = {
    due: (along: number) =>
      perfect.healthy.at(along - half, 0, distanceMm) + perfect.healthy.at(along + half, 0, distanceMm),
    half,
    halfWidth: perfect.healthy.far.widthRad / 2,
  };
  const places = Array.from({ length: TUBES }, (_, n) => {
    const [row, column] = [Math.floor(n / COLUMNS) + 1, (n % COLUMNS) + 1];
    return { front: frontPlace(array, row, column), axis: axisSlopes(array, row, column) };
  });
  const totals = benches.map(() => 0);
  const centres = places.filter((_, n) => n % 2 === 0);
  for (const { front, axis } of centres) {
    const across = front.acrossMm + axis.across * distanceMm;
    const up = front.upMm + axis.up * distanceMm;
    const lamps = [-1, 1].map((side) => lampAt(across + (side * SPACING_MM) / 2, up, distanceMm));
    const lightIn = (bench: Bench) => {
      const [left, right] = lamps.map((lamp) => tubeLight(bench, lamp).out);
      return left!.map((light, n) => light + right![n]!);
    };
    const typical = lightIn(perfect);
    const cells = places.map(
      (place, n): PictureCell => ({
        along: place.axis.across - (across - place.front.acrossMm) / distanceMm,
        aside: place.axis.up - (up - place.front.upMm) / distanceMm,
        typical: typical[n]!,
      }),
    );
    benches.forEach((bench, n) => {
      totals[n]! += pictureDip(reading, cells, lightIn(bench)) / centres.length;
    });
  }
  return totals;
}

describe('the first eight of the list replaced', () => {
  const REPLACED = 8;
  let first: PullEntry[];
  let after: Bench;
  beforeAll(() => {
    first = before.result.pull.slice(0, REPLACED);
    after = repaired(first);
  });

  test('light where it is due: the gain that was predicted, within its uncertainty', () => {
    const common = inCommon(broken, after);
    const brought =
      sum(first.map(({ row, column }) => 1 - common[(row - 1) * COLUMNS + column - 1]!)) / TUBES;
    const predicted = sum(first.map(({ gain }) => gain));
    const uncertainty = Math.hypot(...first.map(({ gainUncertainty }) => gainUncertainty!));
    expect(Math.abs(brought - predicted)).toBeLessThan(2 * uncertainty);
    expect(uncertainty).toBeLessThan(0.1 * predicted);
  });

  test('the mean dip at the resolving distance: likewise', () => {
    const [was, is] = paintedDips([broken, after], 1000 * before.result.resolving!.distanceM);
    const predicted = sum(first.map(({ dipGain }) => dipGain!));
    const uncertainty = Math.hypot(...first.map(({ dipGainUncertainty }) => dipGainUncertainty!));
    expect(Math.abs(is! - was! - predicted)).toBeLessThan(2 * uncertainty);
    expect(uncertainty).toBeLessThan(0.2 * predicted);
  });
});

describe('what is asked of a bow and a cure: within 20 % or 0.3 mm', () => {
  const cellAt = (row: number, column: number) => before.result.cells[(row - 1) * COLUMNS + column - 1]!;

  test.each([
    { row: 5, column: 5, bowMm: 2 },
    { row: 8, column: 7, bowMm: 1.2 },
  ])('bow of the tube at row $row, column $column', ({ row, column, bowMm }) => {
    const { fault, bend } = cellAt(row, column);
    expect(fault).toBe('bent');
    expect(Math.abs(bend!.bowMm - bowMm)).toBeLessThan(Math.max(0.2 * bowMm, 0.3));
  });

  test.each([
    { row: 5, column: 12, across: 2, up: 0.8 },
    { row: 9, column: 8, across: -0.6, up: 1.2 },
  ])('shift of the tube at row $row, column $column', ({ row, column, across, up }) => {
    const { fault, cureShiftMm } = cellAt(row, column);
    expect(fault).toBe('misaimed');
    const off = Math.hypot(cureShiftMm!.across + across, cureShiftMm!.up + up);
    expect(off).toBeLessThan(Math.max(0.2 * Math.hypot(across, up), 0.3));
  });
});
