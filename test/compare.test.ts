import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Comparison, readComparison, type TubeChange } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { twolamp } from '../packages/cli/src/fixtures/run-command.js';

/**
 * 500 tubes, whose light scatters by 3 %, in three sessions: as first built; again with nothing changed; and rebuilt, with 25 tubes
 * replaced. Each time the camera stands elsewhere and the even light falls otherwise.
 */
const PANEL = { rows: 20, columns: 25 };
/** Faulty tubes, most of them lacking little more than a tenth of their light, not two side by side. */
const FAULTS = Array.from({ length: 25 }, (_, n) => {
  const place = `row: ${1 + ((7 * n) % PANEL.rows)}, column: ${n + 1}`;
  if (n % 12 === 5) return `{ ${place}, fault: blocked }`;
  if (n === 12) return `{ ${place}, fault: open }`;
  return `{ ${place}, fault: weak, transmission: ${n % 3 === 0 ? 0.6 : 0.87} }`;
});
const NOT_REPLACED = '{ row: 7, column: 14, fault: weak, transmission: 0.7 }';

function plan(session: number, camera: string, unevenness: number, faults: readonly string[]): string {
  return `format: twolamp-plan/1
seed: 5
session-seed: ${session}
array: { name: Test panel, arrangement: square, rows: ${PANEL.rows}, columns: ${PANEL.columns}, tube-length: 150 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.4 mm }
photo: { width: 560, height: 450 }
camera: { vignetting: 0.2, ${camera} }
sheet: { halo-share: 0.05 }
light: { unevenness: ${unevenness} }
build: { placement-jitter: 0.1 mm, transmission-scatter: 0.03 }
faults: { list: [${faults.join(', ')}] }
shots: [{ kind: dark }, { kind: even, repeats: 2 }, { kind: bare }]
`;
}

const BUILT = [...FAULTS, NOT_REPLACED];
const PLANS = {
  earlier: plan(1, 'framing: 0.85', 0.2, BUILT),
  again: plan(2, 'framing: 0.75, tilt: 2 deg, roll: -1 deg', 0.15, BUILT),
  rebuilt: plan(3, 'framing: 0.8, turn: 2 deg, roll: 1 deg, distance: 500 mm', 0.1, [NOT_REPLACED]),
};

/** Photos are made and measured meanwhile, on whatever machine. */
const TIMEOUT_MS = 240_000;

let folder: string;
const truths: Record<string, Truth> = {};

async function done(...args: string[]): Promise<void> {
  const { code, err } = await twolamp(...args);
  if (code !== 0) throw new Error(err);
}

async function compared(later: keyof typeof PLANS): Promise<Comparison> {
  const result = (name: string) => join(folder, name, 'measured', 'result.json');
  const out = join(folder, `compared-${later}`);
  await done('compare', result('earlier'), result(later), '--out', out);
  const file = join(out, 'compare.json');
  return readComparison(await readFile(file, 'utf8'), file);
}

const trueLight = (name: keyof typeof PLANS) =>
  truths[name]!.cells.map(({ relativeTransmission }) => relativeTransmission);

const isCalledChanged = ({ transmission, verdict }: TubeChange) =>
  transmission?.significant === true || !['unchanged', 'still faulty'].includes(verdict);

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-compare-'));
  for (const [name, text] of Object.entries(PLANS)) {
    const home = join(folder, name);
    await writeFile(`${home}.yaml`, text);
    await done('simulate', `${home}.yaml`, '--out', home);
    await done('measure', join(home, 'session.yaml'));
    truths[name] = JSON.parse(await readFile(join(home, 'truth.json'), 'utf8'));
  }
}, TIMEOUT_MS);
afterAll(() => rm(folder, { recursive: true }));

test('nothing changed, camera moved: at most 0.5 % of the tubes are called changed', async () => {
  const { tubes, scale } = await compared('again');
  expect(tubes.filter(isCalledChanged).length).toBeLessThanOrEqual(0.005 * tubes.length);
  expect(scale!.basis).toBe('absolute');
  expect(Math.abs(scale!.later - 1)).toBeLessThan(2 * scale!.uncertainty!);
});

describe('25 of 500 tubes replaced', () => {
  let comparison: Comparison;
  let trueChanges: number[];
  beforeAll(async () => {
    comparison = await compared('rebuilt');
    trueChanges = trueLight('rebuilt').map((later, index) => later - trueLight('earlier')[index]!);
  });

  test('all changes of 10 % or more are found, with at most 5 % false discoveries', () => {
    const isReplaced = trueChanges.map((change) => Math.abs(change) >= 0.1);
    expect(isReplaced.filter(Boolean)).toHaveLength(FAULTS.length);
    comparison.tubes.forEach(({ transmission, verdict }, index) => {
      if (!isReplaced[index]) return;
      expect(transmission!.significant).toBe(true);
      expect(['mended', 'changed']).toContain(verdict);
    });
    const called = comparison.tubes.flatMap((tube, index) => (isCalledChanged(tube) ? [index] : []));
    const wrong = called.filter((index) => !isReplaced[index]);
    expect(wrong.length / called.length).toBeLessThanOrEqual(0.05);
  });

  test('changes are right to within 3 % of a typical tube', () => {
    const errors = comparison.tubes.map(({ transmission }, index) => {
      return (
        Math.abs(transmission!.change - trueChanges[index]!) / Math.max(1, Math.abs(trueChanges[index]!))
      );
    });
    errors.sort((a, b) => a - b);
    expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(0.03);
  });

  test('a faulty tube that was left alone is still faulty', () => {
    const left = comparison.tubes.find(({ row, column }) => row === 7 && column === 14)!;
    expect(left.verdict).toBe('still faulty');
  });
});
