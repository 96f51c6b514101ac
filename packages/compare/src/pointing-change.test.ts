import { seededRandom } from '@twolamp/optics';
import { expect, test } from 'vitest';
import { madeResult, trueTubes } from './fixtures/made-result.js';
import { matchTubes } from './matched-tubes.js';
import { pointingChanges } from './pointing-change.js';

const SIZE = { rows: 12, columns: 15 };
const random = seededRandom(6);
const TUBES = trueTubes(SIZE, random);
const NOISE_DEG = 0.03;
const MOVED = 97;

function changesOf(moved: Partial<Record<'acrossDeg' | 'upDeg', number>>, session: object) {
  const later = TUBES.map((tube, index) =>
    index === MOVED
      ? {
          ...tube,
          acrossDeg: tube.acrossDeg + (moved.acrossDeg ?? 0),
          upDeg: tube.upDeg + (moved.upDeg ?? 0),
        }
      : tube,
  );
  const [before, after] = [
    madeResult(SIZE, TUBES, { pointingNoiseDeg: NOISE_DEG }, random),
    madeResult(SIZE, later, { pointingNoiseDeg: NOISE_DEG, ...session }, random),
  ];
  return pointingChanges(matchTubes(before, after).tubes, after.array);
}

test.each([
  [{ acrossDeg: 0.4 }, {}],
  [{ upDeg: -0.4 }, {}],
  [
    { acrossDeg: 0.3, upDeg: 0.3 },
    { turnDeg: [2, -1], stretch: 1.04 },
  ],
] as const)('a tube turned by %j is found with its turn, the array placed %j', (moved, session) => {
  const { changes } = changesOf(moved, session);
  expect(changes.flatMap((change, index) => (change!.significant ? [index] : []))).toContain(MOVED);
  const { acrossDeg, upDeg, uncertaintyDeg } = changes[MOVED]!;
  // Two sessions’ noise on an axis is 0.042°: four of those.
  expect(Math.abs(acrossDeg - ('acrossDeg' in moved ? moved.acrossDeg : 0))).toBeLessThan(0.17);
  expect(Math.abs(upDeg - ('upDeg' in moved ? moved.upDeg : 0))).toBeLessThan(0.17);
  expect(uncertaintyDeg).toBeGreaterThanOrEqual(Math.SQRT2 * NOISE_DEG);
  expect(uncertaintyDeg).toBeLessThan(1.3 * Math.SQRT2 * NOISE_DEG);
});

test('how the array stood is told, not laid at the tubes’ door', () => {
  const { findings, changes } = changesOf({}, { turnDeg: [2, -1] });
  expect(findings).toMatchObject([{ code: 'array-turned' }]);
  const { acrossDeg, upDeg, uncertaintyDeg } = findings[0].values as Record<string, number>;
  expect(Math.abs(acrossDeg - 2)).toBeLessThan(4 * uncertaintyDeg);
  expect(Math.abs(upDeg + 1)).toBeLessThan(4 * uncertaintyDeg);
  expect(uncertaintyDeg).toBeLessThan(0.01);
  expect(changes.filter((change) => change!.significant).length).toBeLessThanOrEqual(1);
});

test('without a sweep in one session: nothing, and why', () => {
  const { findings, changes } = changesOf({}, { pointingNoiseDeg: null });
  expect(changes.every((change) => change === null)).toBe(true);
  expect(findings).toMatchObject([{ code: 'pointing-not-compared', values: { healthy: 0 } }]);
});
