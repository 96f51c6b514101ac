import { expect, test } from 'vitest';
import { nextPairDistance, type PairReading } from './next-distance.js';

const REQUIRED = 0.265;
const at = (distanceM: number, dip: number | null): PairReading => ({ distanceM, dip });

test.each([
  { what: 'no pair', pairs: [], distanceM: 1.2, because: 'nothing shot yet' },
  { what: 'a pair without a dip', pairs: [at(2, null)], distanceM: 1.2, because: 'nothing shot yet' },
  { what: 'all separate', pairs: [at(1, 0.9), at(2, 0.6)], distanceM: 3, because: 'all separate so far' },
  { what: 'all merged', pairs: [at(3, 0.1), at(6, 0)], distanceM: 2, because: 'none separate so far' },
  { what: 'crossed', pairs: [at(4, 0.1), at(1, 0.8)], distanceM: 2, because: 'between' },
  {
    what: 'crossed by the mean over nudges',
    pairs: [at(1, 0.8), at(2, 0.1), at(2, 0.5), at(4.5, 0)],
    distanceM: 3,
    because: 'between',
  },
  { what: 'closed in', pairs: [at(2, 0.3), at(2.02, 0.25)], distanceM: Math.sqrt(4.04), because: 'nudge' },
])('$what', ({ pairs, distanceM, because }) => {
  const next = nextPairDistance(pairs, REQUIRED, 1.2);
  expect(next.because).toBe(because);
  expect(Math.abs(next.distanceM - distanceM)).toBeLessThan(1e-12);
});

test('closes in on a crossing wherever it lies', () => {
  const crossingM = 2.37;
  const pairs: PairReading[] = [];
  for (let shot = 0; shot < 12; shot++) {
    const { distanceM } = nextPairDistance(pairs, REQUIRED, 0.6);
    pairs.push(at(distanceM, distanceM < crossingM ? 0.5 : 0.1));
  }
  const nearest = Math.min(...pairs.map(({ distanceM }) => Math.abs(distanceM / crossingM - 1)));
  expect(nearest).toBeLessThan(0.08);
});
