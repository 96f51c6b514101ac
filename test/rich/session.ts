import { type Measurement, measureSession } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { type Fault, readSession } from '@twolamp/session';
import { type Plan, readPlan, simulateSession, type TrueCell, type Truth } from '@twolamp/simulate';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';

/**
 * One session in which every figure can be seen to go wrong: all kinds of faults, moves across unlike those up, a high
 * black level and room light, a bare shot exposed otherwise, pairs side by side and turned.
 */
export const FAULTS: readonly string[] = [
  '{ row: 3, column: 4, fault: blocked }',
  '{ row: 9, column: 11, fault: blocked }',
  '{ row: 6, column: 8, fault: blocked }',
  '{ row: 4, column: 9, fault: weak, transmission: 0.4 }',
  '{ row: 10, column: 5, fault: weak, transmission: 0.7 }',
  '{ row: 7, column: 12, fault: open }',
  '{ row: 5, column: 5, fault: bent, bow: 2 mm, direction: 30 deg }',
  '{ row: 8, column: 7, fault: bent, bow: 1.2 mm, direction: 200 deg }',
  '{ row: 8, column: 11, fault: bent, bow: 1.6 mm, direction: 120 deg }',
  '{ row: 3, column: 10, fault: bent, bow: 1.4 mm, direction: 300 deg }',
  '{ row: 5, column: 12, fault: misaimed, across: 2 mm, up: 0.8 mm }',
  '{ row: 9, column: 8, fault: misaimed, across: -0.6 mm, up: 1.2 mm }',
  '{ row: 7, column: 4, fault: leaky, to: { row: 7, column: 5 }, share: 0.16 }',
  '{ row: 4, column: 7, fault: leaky, to: { row: 3, column: 7 }, share: 0.08 }',
];
export const ROWS = 12;
export const COLUMNS = 15;
export const SPACING_MM = 64;

const LAMPS = Array.from({ length: 8 * 6 }, (_, n) => {
  const across = -126 + 36 * (n % 8);
  const up = 90 - 36 * Math.floor(n / 8);
  return `{ kind: lamp, across: ${across} mm, up: ${up} mm, distance: 2.5 m }`;
});
const PAIRS = [1.5, 2, 2.5, 3.2].flatMap((distance) =>
  [0, 35].map(
    (turned) =>
      `{ kind: pair, spacing: ${SPACING_MM} mm, distance: ${distance} m, across: 3 mm, turned: ${turned} deg }`,
  ),
);
const SINGLES = [
  [7, 4],
  [4, 7],
  [9, 3],
].map(([row, column]) => `{ kind: single, row: ${row}, column: ${column} }`);
const QUIRKS = 'placement-jitter: 0.05 mm, pointing-jitter: 0.04 deg, transmission-scatter: 0.03, ';

const SHOTS: readonly string[] = [
  '{ kind: dark }',
  // A black level doesn't grow with the exposure, as stray light does: the bare sheet needs a dark frame of its own.
  '{ kind: dark, exposure: 1/320 s, iso: 100 }',
  '{ kind: even, repeats: 2 }',
  '{ kind: bare, exposure: 1/320 s, iso: 100 }',
  ...LAMPS,
  ...PAIRS,
  ...SINGLES,
];

/** The plan with other faults or quirks; the tubes keep their own jitter. */
export function richPlan(faults: readonly string[] = FAULTS, quirks = QUIRKS, shots = SHOTS): Plan {
  return readPlan(
    `format: twolamp-plan/1
seed: 11
array: { name: Test panel, arrangement: square, rows: ${ROWS}, columns: ${COLUMNS}, tube-length: 150 mm, tube-bore: 2.6 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 260, height: 208, format: png16 }
camera: { offset: 0.05 }
sheet: { halo-share: 0.05 }
light: { room-lux: 0.3 }
build: { wall: { index: 1.5, extinction: 0, gloss: 0.4 }, ${quirks}crosstalk: 0.008 }
faults: { list: [${faults.join(', ')}] }
lamp: { diameter: 6 mm, candela: 60 }
shots: [${shots.join(', ')}]
`,
    'plan.yaml',
  );
}

/** The session as measured, and what is true of it. */
export interface Rich extends Measurement {
  readonly truth: Truth;
  /** The same photos, measured with a slip in the session file: the front pitch 4.6 mm for 3.6 mm. */
  readonly slipped: Measurement;
  /** Holds the photos, and the session file with the slip. */
  readonly folder: string;
}

/** Makes the photos in a folder, and measures them. */
export async function measureRich(folder: string): Promise<Rich> {
  const { session: text, truth } = await simulateSession(richPlan(), (photo, file) =>
    writeFile(join(folder, photo), file),
  );
  const measure = (typed: string) =>
    measureSession(readSession(typed, 'session.yaml'), ({ photo }) =>
      readPhoto(join(folder, photo), { tone: 'srgb', channel: 'luminance' }),
    );
  const slip = text.replace('front-pitch: 3.6 mm', 'front-pitch: 4.6 mm');
  if (slip === text) throw new Error(`no front-pitch of 3.6 mm stands in\n${text}`);
  await writeFile(join(folder, 'session.yaml'), slip);
  return { ...(await measure(text)), truth, slipped: await measure(slip), folder };
}

/** What is true once the array stands with these faults, with nothing measured: one even photo, which truth counts from. */
export async function truthWith(faults: readonly string[]): Promise<Truth> {
  const { truth } = await simulateSession(richPlan(faults, QUIRKS, ['{ kind: even }']), () => {});
  return truth;
}

export const cellIndex = ({ row, column }: { row: number | null; column: number | null }): number =>
  (row! - 1) * COLUMNS + column! - 1;

/** True cells with a fault, with their index. */
export function cellsWith(truth: Truth, fault: Fault): { cell: TrueCell; index: number }[] {
  return truth.cells.flatMap((cell, index) => (cell.fault === fault ? [{ cell, index }] : []));
}
