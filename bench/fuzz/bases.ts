import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { readPlan, writeSimulation } from '@twolamp/simulate';
import { drawFrom } from './draw.js';
import { foreignPicture } from './mutate-photo.js';
import { twolamp } from './twolamp.js';

/** Lamp places of the sweep, mm. */
const ACROSS = [-60, 0, 60];
const UP = [-40, 0, 40];
const PAIRS_M = [0.6, 1, 1.5, 2.5, 4];

/** A panel so small that a photo costs some milliseconds: 6 × 8 tubes, 12 pixels apart. */
function tinyPlan(seed: number): string {
  const lamps = UP.flatMap((up) =>
    ACROSS.map((across) => `  - { kind: lamp, across: ${across} mm, up: ${up} mm, distance: 1 m }`),
  );
  const pairs = PAIRS_M.map((distance) => `  - { kind: pair, spacing: 60 mm, distance: ${distance} m }`);
  return [
    'format: twolamp-plan/1',
    `seed: ${seed}`,
    'array: { name: Tiny panel, arrangement: square, rows: 6, columns: 8, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.9 mm }',
    'photo: { width: 128, height: 104, format: png8 }',
    'lamp: { diameter: 4 mm }',
    'faults: { blocked: 1, weak: 2 }',
    'shots:',
    '  - { kind: dark }',
    '  - { kind: even, repeats: 2 }',
    '  - { kind: bare }',
    ...lamps,
    ...pairs,
    '  - { kind: single, row: 3, column: 4 }',
    '',
  ].join('\n');
}

/** Photos of a session, cheap ones more often: which kinds stand in its list. */
const SUBSETS = {
  even: ['dark', 'even', 'bare'],
  pairs: ['dark', 'even', 'pair', 'single'],
  whole: ['dark', 'even', 'bare', 'lamp', 'pair', 'single'],
} as const;
export type Subset = keyof typeof SUBSETS;

/** What cases are made from: files that are right. */
export interface Bases {
  readonly folder: string;
  readonly plan: string;
  /** session.yaml with the shots of some kinds only. */
  readonly session: (subset: Subset) => string;
  readonly photo: (name: string) => Promise<Buffer>;
  readonly result: string;
  readonly evidence: string;
  readonly scene: Buffer;
}

/** Makes the right files: a session by calculation, and its result. */
export async function makeBases(folder: string, seed: number): Promise<void> {
  const plan = tinyPlan(seed);
  await mkdir(folder, { recursive: true });
  await writeFile(join(folder, 'plan.yaml'), plan);
  await writeSimulation(readPlan(plan, 'plan.yaml'), folder, () => {});
  const { code, err } = await twolamp('measure', folder);
  if (code !== 0 && code !== 3) throw new Error(`the right session was refused: ${err}`);
  const scene = await foreignPicture('a holiday picture', { width: 160, height: 120 }, drawFrom(seed));
  await writeFile(join(folder, 'scene.png'), scene);
}

/** The right files, as {@link makeBases} left them. */
export async function readBases(folder: string): Promise<Bases> {
  const text = (name: string) => readFile(join(folder, name), 'utf8');
  const session = await text('session.yaml');
  const kindOf = (line: string) => /kind: (\w+)/.exec(line)?.[1];
  return {
    folder,
    plan: await text('plan.yaml'),
    session: (subset) => {
      const kinds: readonly string[] = SUBSETS[subset];
      return session
        .split('\n')
        .filter((line) => kindOf(line) === undefined || kinds.includes(kindOf(line)!))
        .join('\n');
    },
    photo: (name) => readFile(join(folder, name)),
    result: await text('measured/result.json'),
    evidence: await text('measured/evidence.json'),
    scene: await readFile(join(folder, 'scene.png')),
  };
}
