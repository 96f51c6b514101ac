import { readPlan, simulateSession } from '@twolamp/simulate';
import { bench, describe } from 'vitest';

/** An even shot and a lamp shot: lattice, acceptance, sheet, noise, JPEG. */
function plan(rows: number, columns: number, width: number, height: number) {
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
shots: [{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 3 m }]
`,
    'plan.yaml',
  );
}

const SIZES = [
  ['24 × 30 tubes, 3 megapixels', plan(24, 30, 2000, 1500)],
  ['50 × 70 tubes, 12 megapixels', plan(50, 70, 4032, 3024)],
] as const;

const OPTIONS = { iterations: 5, warmupIterations: 1, time: 0, warmupTime: 0 };

describe('two photos and their truth', () => {
  for (const [name, size] of SIZES) {
    bench(name, async () => void (await simulateSession(size, () => {})), OPTIONS);
  }
});
