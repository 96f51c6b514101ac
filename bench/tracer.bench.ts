import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Light, seededRandom, traceAcceptance, traceTube } from '@twolamp/optics';
import { afterAll, bench, describe } from 'vitest';

const OPTIONS = { iterations: 8, warmupIterations: 2, time: 0, warmupTime: 0 };
const TUBE = { boreMm: 2.5, lengthMm: 150 };
const BOWED = { ...TUBE, bowMm: 1 };
const SCATTERING = { index: 1.5, extinction: 0, gloss: 0, diffuse: 1 };
const beam = (slopeAcross: number): Light => ({ kind: 'beam', slopeAcross, slopeUp: 0 });

/** The tasks that peers/tracer.c does as well. */
const TASKS = {
  chords: (rays: number) => traceTube(TUBE, 'glossy black', beam(0.04), rays, seededRandom(1)),
  bowed: (rays: number) => traceTube(BOWED, 'glossy black', beam(0.04), rays, seededRandom(1)),
  scattering: (rays: number) =>
    traceTube({ boreMm: 2, lengthMm: 10 }, SCATTERING, { kind: 'even' }, rays, seededRandom(1)),
};

describe('cost against rays: bowed glossy tube, about 5 bounces a ray', () => {
  for (const rays of [50_000, 100_000, 200_000]) {
    bench(`${rays} rays`, () => void TASKS.bowed(rays), OPTIONS);
  }
});

describe('cost against bounces: bowed glossy tube, 50000 rays', () => {
  for (const slope of [0.01, 0.04, 0.08, 0.12]) {
    const trace = () => traceTube(BOWED, 'glossy black', beam(slope), 50_000, seededRandom(1));
    bench(`${(trace().bounces / 50_000).toFixed(1)} bounces a ray`, () => void trace(), OPTIONS);
  }
});

describe('acceptance tables', () => {
  bench('straight glossy tube', () => void traceAcceptance(TUBE, 'glossy black', seededRandom(1)), OPTIONS);
  bench(
    'straight glossy tube, lamp at 1 m',
    () => void traceAcceptance(TUBE, 'glossy black', seededRandom(1), { lampDistanceMm: 1000 }),
    OPTIONS,
  );
  bench('bowed glossy tube', () => void traceAcceptance(BOWED, 'glossy black', seededRandom(1)), OPTIONS);
});

const folder = mkdtempSync(join(tmpdir(), 'twolamp-bench-'));
afterAll(() => rmSync(folder, { recursive: true }));
const program = join(folder, 'tracer');
const source = fileURLToPath(new URL('peers/tracer.c', import.meta.url));
const compiled = spawnSync('cc', ['-O2', '-o', program, source, '-lm']).status === 0;

describe.skipIf(!compiled).each(['chords', 'bowed', 'scattering'] as const)('%s, 400000 rays', (task) => {
  const rays = 400_000;
  const peer = () => execFileSync(program, [task, String(rays)], { encoding: 'utf8' });
  const mine = TASKS[task](rays);
  const [theirs, error] = peer().split(' ').map(Number);
  if (Math.abs(mine.transmission - theirs) > 5 * Math.hypot(mine.standardError, error)) {
    throw new Error(`the two tracers disagree on ${task}: ${mine.transmission} and ${theirs}`);
  }
  bench('twolamp', () => void TASKS[task](rays), OPTIONS);
  bench('plain C, with the start of the program', () => void peer(), OPTIONS);
});
