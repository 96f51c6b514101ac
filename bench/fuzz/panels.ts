import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { readPlan, writeSimulation } from '@twolamp/simulate';
import { type Draw, drawFrom } from './draw.js';

/** Distances of the pairs, as multiples of the one at which two lamps stand two cells apart. */
const PAIRS = [0.5, 0.8, 1.1, 1.5, 2];

/** A panel of some dozens of tubes with a sweep of nine lamps and five pairs, drawn by chance. */
function panelPlan(seed: number, draw: Draw): string {
  const rows = draw.whole(6, 8);
  const columns = draw.whole(7, 10);
  const tubeLength = draw.whole(90, 150);
  const backPitch = draw.whole(26, 34) / 10;
  const bore = (backPitch * draw.whole(80, 88)) / 100;
  const frontPitch = backPitch * (1 + draw.whole(15, 35) / 100);
  const cellAngle = (frontPitch - backPitch) / tubeLength;
  const spacing = draw.whole(50, 90);
  const halfWidth = 1000 * cellAngle * (columns / 2) * 0.8;
  const halfHeight = 1000 * cellAngle * (rows / 2) * 0.8;
  const lamps = [-1, 0, 1].flatMap((up) =>
    [-1, 0, 1].map(
      (across) =>
        `  - { kind: lamp, across: ${(across * halfWidth).toFixed(0)} mm, up: ${(up * halfHeight).toFixed(0)} mm, distance: 1 m }`,
    ),
  );
  const twoCells = spacing / (2 * cellAngle);
  const pairs = PAIRS.map(
    (times) =>
      `  - { kind: pair, spacing: ${spacing} mm, distance: ${Math.max(300, twoCells * times).toFixed(0)} mm }`,
  );
  return [
    'format: twolamp-plan/1',
    `seed: ${seed}`,
    `array: { name: Panel ${seed}, arrangement: square, rows: ${rows}, columns: ${columns}, tube-length: ${tubeLength} mm, tube-bore: ${bore.toFixed(2)} mm, back-pitch: ${backPitch} mm, front-pitch: ${frontPitch.toFixed(2)} mm }`,
    `photo: { width: ${24 * columns}, height: ${24 * rows}, format: ${draw.pick(['jpeg', 'png8'])} }`,
    'lamp: { diameter: 4 mm }',
    `light: { room-lux: ${draw.pick([0, 2])}, unevenness: ${draw.whole(0, 10) / 100} }`,
    `faults: { blocked: ${draw.whole(0, 1)}, weak: ${draw.whole(0, 2)}, misaimed: ${draw.whole(0, 1)} }`,
    'shots:',
    '  - { kind: dark }',
    '  - { kind: even, repeats: 2 }',
    ...(draw.chance(0.7) ? ['  - { kind: bare }'] : []),
    ...lamps,
    ...pairs,
    '',
  ].join('\n');
}

/**
 * Makes right sessions of panels that nobody chose, one folder each.
 *
 * @param seed - of the first; the same panels for the same seed
 * @returns their folders
 */
export async function makePanels(folder: string, count: number, seed: number): Promise<string[]> {
  const folders: string[] = [];
  for (let one = seed; one < seed + count; one++) {
    const home = join(folder, `panel-${one}`);
    await mkdir(home, { recursive: true });
    await writeSimulation(readPlan(panelPlan(one, drawFrom(one)), 'plan.yaml'), home, () => {});
    folders.push(home);
  }
  return folders;
}
