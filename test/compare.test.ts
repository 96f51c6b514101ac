import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Comparison, readComparison } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { twolamp } from './run-command.js';

/**
 * The same tubes, whose light scatters by 3 %, in two sessions: the camera stands elsewhere, the even light falls otherwise, and ten
 * faulty tubes are replaced.
 */
const FAULTS = [
  ...[2, 3, 5, 6, 8, 9, 11].map(
    (row) => `{ row: ${row}, column: ${row + 1}, fault: weak, transmission: 0.87 }`,
  ),
  '{ row: 1, column: 15, fault: weak, transmission: 0.6 }',
  '{ row: 4, column: 12, fault: blocked }',
  '{ row: 9, column: 3, fault: open }',
];
const NOT_REPLACED = '{ row: 7, column: 13, fault: weak, transmission: 0.7 }';

function plan(camera: string, light: string, faults: readonly string[], shots: string): string {
  return `format: twolamp-plan/1
seed: 5
array: { name: Test panel, arrangement: square, rows: 12, columns: 15, tube-length: 150 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 640, height: 520 }
camera: ${camera}
sheet: { halo-share: 0.05 }
light: ${light}
build: { placement-jitter: 0.1 mm, transmission-scatter: 0.03 }
faults: { list: [${faults.join(', ')}] }
shots: [${shots}]
`;
}

const PLANS = {
  earlier: plan(
    '{ vignetting: 0.2 }',
    '{ unevenness: 0.2 }',
    [...FAULTS, NOT_REPLACED],
    '{ kind: dark }, { kind: even, repeats: 2 }, { kind: bare }',
  ),
  later: plan(
    '{ vignetting: 0.2, framing: 0.75, turn: 2 deg, roll: 1 deg, distance: 500 mm }',
    '{ unevenness: 0.1 }',
    [NOT_REPLACED],
    '{ kind: bare }, { kind: dark }, { kind: even, repeats: 2 }',
  ),
};

/** Photos are made and measured meanwhile, on whatever machine. */
const TIMEOUT_MS = 120_000;

let folder: string;
let comparison: Comparison;
let trueChanges: number[];

async function done(...args: string[]): Promise<void> {
  const { code, err } = await twolamp(...args);
  if (code !== 0) throw new Error(err);
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-compare-'));
  const truths: Truth[] = [];
  for (const [name, text] of Object.entries(PLANS)) {
    const home = join(folder, name);
    await writeFile(`${home}.yaml`, text);
    await done('simulate', `${home}.yaml`, '--out', home);
    await done('measure', join(home, 'session.yaml'));
    truths.push(JSON.parse(await readFile(join(home, 'truth.json'), 'utf8')));
  }
  const result = (name: string) => join(folder, name, 'measured', 'result.json');
  await done('compare', result('earlier'), result('later'), '--out', join(folder, 'compared'));
  const file = join(folder, 'compared', 'compare.json');
  comparison = readComparison(await readFile(file, 'utf8'), file);
  trueChanges = truths[1]!.cells.map(
    (cell, index) => cell.relativeTransmission - truths[0]!.cells[index]!.relativeTransmission,
  );
}, TIMEOUT_MS);
afterAll(() => rm(folder, { recursive: true }));

test('every replaced tube is found, and no other', () => {
  const replaced = trueChanges.map((change) => Math.abs(change) >= 0.1);
  expect(replaced.filter(Boolean)).toHaveLength(FAULTS.length);
  expect(comparison.tubes.map(({ transmission }) => transmission!.significant)).toEqual(replaced);
  comparison.tubes.forEach(({ verdict }, index) => {
    if (replaced[index]) expect(verdict).not.toBe('unchanged');
    else expect(['unchanged', 'still faulty']).toContain(verdict);
  });
});

test('changes are right to within 3 % of a typical tube', () => {
  const errors = comparison.tubes.map(({ transmission }, index) => {
    return Math.abs(transmission!.change - trueChanges[index]!) / Math.max(1, Math.abs(trueChanges[index]!));
  });
  errors.sort((a, b) => a - b);
  expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(0.03);
});

test('the array as a whole passes the same light, by the bare shots', () => {
  const { basis, later, uncertainty } = comparison.scale!;
  expect(basis).toBe('absolute');
  expect(Math.abs(later - 1)).toBeLessThan(2 * uncertainty!);
});
