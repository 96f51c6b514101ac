import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { seededRandom } from '@twolamp/optics';
import { type LampPlace, planBench, thirdsPlaces } from '@twolamp/plan';
import { expect, test } from 'vitest';
import { makeAndMeasure } from '../bench/accuracy/run-session.js';
import { drawLampCase } from '../bench/lamps/draw-lamps.js';

/** A small array of nearly matte tubes, of those that the plan's places were tuned on. */
const CASE = drawLampCase(8);

/** How many tubes' directions a short evening with these lamp places tells. */
async function told(places: readonly LampPlace[], distanceMm: number): Promise<number> {
  const folder = await mkdtemp(join(tmpdir(), 'twolamp-nine-'));
  try {
    const { result } = await makeAndMeasure(CASE.planWith(places, distanceMm), folder);
    return result.cells.filter(({ pointing }) => pointing !== null).length;
  } finally {
    await rm(folder, { recursive: true });
  }
}

test('the nine places of the short evening tell directions, where the thirds of the whole field tell none', async () => {
  const { array } = CASE;
  const request = { array, spacingMm: 60, roomMm: 4000, criterion: { name: 'rayleigh', requiredDip: 0.265 } };
  const planned = planBench(request, seededRandom(1), 'the test').evening.session.shots.flatMap((shot) =>
    shot.kind === 'lamp' ? { acrossMm: shot.acrossMm!, upMm: shot.upMm!, distanceMm: shot.distanceMm! } : [],
  );
  const distanceMm = planned[0]!.distanceMm;
  expect(planned).toHaveLength(9);
  expect(await told(thirdsPlaces(array, distanceMm, 1), distanceMm)).toBe(0);
  expect(await told(planned, distanceMm)).toBeGreaterThan(20);
}, 240_000);
