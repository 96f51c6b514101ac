import { mkdtempSync, rmSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { readSession, type Shot } from '@twolamp/session';
import { simulateSession } from '@twolamp/simulate';
import { afterAll, bench, describe } from 'vitest';
import { photosIn } from './accuracy/run-session.js';
import { benchPlan } from './bench-plan.js';

const LAMPS = 9;

/** A dark shot, an even one and lamp shots side by side. */
const SHOTS = [
  '{ kind: dark }',
  '{ kind: even }',
  ...Array.from(
    { length: LAMPS },
    (_, n) => `{ kind: lamp, across: ${60 * n - 240} mm, up: 0 mm, distance: 3 m }`,
  ),
].join(', ');

const SIZES = [
  ['50 × 70 tubes, 12 megapixels', benchPlan({ rows: 50, columns: 70, width: 4032, height: 3024 }, SHOTS)],
  ['24 × 30 tubes, 1 megapixel', benchPlan({ rows: 24, columns: 30, width: 1120, height: 896 }, SHOTS)],
] as const;

const OPTIONS = { iterations: 3, warmupIterations: 1, time: 0, warmupTime: 0 };

const folders = SIZES.map(() => mkdtempSync(join(tmpdir(), 'twolamp-bench-')));
afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true });
});

for (const [index, [name, planned]] of SIZES.entries()) {
  const folder = folders[index];
  const { session: text } = await simulateSession(planned, (photo, file) =>
    writeFile(join(folder, photo), file),
  );
  const session = readSession(text, 'session.yaml');
  const measure = async (...kinds: Shot['kind'][]): Promise<void> => {
    const shots = session.shots.filter(({ kind }) => kinds.includes(kind));
    await measureSession({ ...session, shots }, photosIn(folder, session));
  };

  describe(name, () => {
    bench('one even shot', () => measure('even'), OPTIONS);
    bench('dark and even', () => measure('dark', 'even'), OPTIONS);
    bench(`dark, even and ${LAMPS} lamp shots`, () => measure('dark', 'even', 'lamp'), OPTIONS);
  });
}
