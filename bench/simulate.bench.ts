import { simulateSession } from '@twolamp/simulate';
import { bench, describe } from 'vitest';
import { benchPlan } from './bench-plan.js';

/** An even shot and a lamp shot: lattice, acceptance, sheet, noise, JPEG. */
const SHOTS = '{ kind: even }, { kind: lamp, across: 0 mm, up: 0 mm, distance: 3 m }';

const SIZES = [
  ['24 × 30 tubes, 3 megapixels', benchPlan({ rows: 24, columns: 30, width: 2000, height: 1500 }, SHOTS)],
  ['50 × 70 tubes, 12 megapixels', benchPlan({ rows: 50, columns: 70, width: 4032, height: 3024 }, SHOTS)],
] as const;

const OPTIONS = { iterations: 5, warmupIterations: 1, time: 0, warmupTime: 0 };

describe('two photos and their truth', () => {
  for (const [name, size] of SIZES) {
    bench(name, async () => void (await simulateSession(size, () => {})), OPTIONS);
  }
});
