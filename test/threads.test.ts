import { createHash } from 'node:crypto';
import { readPlan } from '@twolamp/simulate';
import { expect, test } from 'vitest';

// Threads load compiled code only, so both sides are taken from the last build.
const BUILT = new URL('../packages/simulate/dist/index.js', import.meta.url).href;

const PLAN = readPlan(
  `format: twolamp-plan/1
seed: 4
array: { name: Panel, arrangement: square, rows: 5, columns: 7, tube-length: 120 mm, tube-bore: 2.5 mm, back-pitch: 3 mm, front-pitch: 3.6 mm }
photo: { width: 200, height: 150 }
camera: { drift-px: 0.3 }
build: { wall: { index: 1.5, extinction: 0, gloss: 0.5 } }
faults: { blocked: 1, bent: 1 }
shots:
  - { kind: dark }
  - { kind: even, repeats: 2 }
  - { kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m }
  - { kind: lamp, across: 0 mm, up: 0 mm, distance: 3 m }
scenes: [{ picture: street.png, width: 0.3 m, distance: 1.5 m }]
`,
  'plan.yaml',
);

const PICTURE = {
  width: 2,
  height: 2,
  light: Float32Array.of(1, 0.2, 0.5, 0),
  clipped: new Uint8Array(4),
  exposureS: null,
  iso: null,
  aperture: null,
};

test('photos are the same on one thread and on three, and come in the same order', async () => {
  const { simulateSession }: typeof import('@twolamp/simulate') = await import(BUILT);
  const simulated = async (threads: number) => {
    const photos: string[] = [];
    const { truth } = await simulateSession(
      PLAN,
      (name, file) => {
        photos.push(`${name} ${createHash('sha256').update(file).digest('hex')}`);
      },
      threads,
      new Map([['street.png', PICTURE]]),
    );
    return { photos, truth };
  };
  const alone = await simulated(1);
  expect(alone.photos).toHaveLength(6);
  expect(await simulated(3)).toEqual(alone);
});
