import { mkdtempSync, rmSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { readSession, type Shot } from '@twolamp/session';
import { readPlan, simulateSession } from '@twolamp/simulate';
import { afterAll, bench, describe } from 'vitest';
import { photosIn } from './accuracy/run-session.js';

const LAMPS = 9;

/** A dark shot, an even one and lamp shots side by side. */
function plan(rows: number, columns: number, width: number, height: number) {
  const lamps = Array.from(
    { length: LAMPS },
    (_, n) => `{ kind: lamp, across: ${60 * n - 240} mm, up: 0 mm, distance: 3 m }`,
  );
  return readPlan(
    `
format: twolamp-plan/1
seed: 1
array: { name: Bench, arrangement: square, rows: ${rows}, columns: ${columns}, tube-length: 150 mm,
         tube-bore: 2.6 mm, back-pitch: 3 mm, front-pitch: 3.6 mm, tube-wall: glossy black }
photo: { width: ${width}, height: ${height} }
camera: { tilt: 3 deg, distortion: 0.02, vignetting: 0.2 }
sheet: { halo-share: 0.05 }
lamp: { diameter: 10 mm }
light: { room-lux: 0.01 }
shots: [{ kind: dark }, { kind: even }, ${lamps.join(', ')}]
`,
    'plan.yaml',
  );
}

const SIZES = [
  ['50 × 70 tubes, 12 megapixels', plan(50, 70, 4032, 3024)],
  ['24 × 30 tubes, 1 megapixel', plan(24, 30, 1120, 896)],
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
