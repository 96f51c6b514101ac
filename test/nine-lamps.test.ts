import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '@twolamp/optics';
import { type LampPlace, planBench, thirdsPlaces } from '@twolamp/plan';
import type { Result } from '@twolamp/session';
import { expect, test } from 'vitest';
import { makeAndMeasure } from '../bench/accuracy/run-session.js';
import { drawLampCase } from '../bench/lamps/draw-lamps.js';
import { heldFigures } from './held/held-figures.js';

/** A small array of nearly matte tubes, of those that the plan's places were tuned on. */
const CASE = drawLampCase(8);

/** A short evening with these lamp places, measured. */
async function measured(places: readonly LampPlace[], distanceMm: number): Promise<Result> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-nine-'));
  try {
    return (await makeAndMeasure(CASE.planWith(places, distanceMm), folder)).result;
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** How many tubes' directions it tells. */
const told = ({ cells }: Result) => cells.filter(({ pointing }) => pointing !== null).length;

let evening: Result;

test('the nine places of the short evening tell directions, where the thirds of the whole field tell none', async () => {
  const { array } = CASE;
  const request = { array, spacingMm: 60, roomMm: 4000, criterion: { name: 'rayleigh', requiredDip: 0.265 } };
  const planned = planBench(request, seededRandom(1), 'the test').evening.session.shots.flatMap((shot) =>
    shot.kind === 'lamp' ? { acrossMm: shot.acrossMm!, upMm: shot.upMm!, distanceMm: shot.distanceMm! } : [],
  );
  const distanceMm = planned[0]!.distanceMm;
  expect(planned).toHaveLength(9);
  evening = await measured(planned, distanceMm);
  expect(told(evening)).toBeGreaterThan(20);
  expect(told(await measured(thirdsPlaces(array, distanceMm, 1), distanceMm))).toBe(0);
}, 240_000);

heldFigures('nine-lamps', () => evening, 'faulty');
