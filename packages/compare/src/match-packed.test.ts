import { seededRandom } from '@twolamp/optics';
import type { Result } from '@twolamp/session';
import { expect, test } from 'vitest';
import { matchPacked } from './match-packed.js';

const ROW = Math.sqrt(3) / 2;

/** A round bundle in perfect order, which fits onto itself after every sixth of a turn: only its light tells which. */
function bundle(turnDeg: number, noiseSeed: number, keep: (tube: number) => boolean = () => true): Result {
  const [light, noise] = [seededRandom(3), seededRandom(noiseSeed)];
  const [c, s] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  const tubes = Array.from({ length: 19 * 19 }, (_, n) => {
    const row = Math.floor(n / 19) - 9;
    return { x: (n % 19) - 9 + (Math.abs(row) % 2) / 2, y: row * ROW, relative: 1 + 0.05 * light.normal() };
  }).filter(({ x, y }) => Math.hypot(x, y) < 8.2);
  const cells = tubes
    .map(({ x, y, relative }, tube) => ({
      cell: tube + 1,
      atMm: {
        across: 3 * (c * x - s * y) + 0.02 * noise.normal(),
        up: 3 * (s * x + c * y) + 0.02 * noise.normal(),
      },
      transmission: { relative: relative + 0.005 * noise.normal() },
    }))
    .filter((_, tube) => keep(tube));
  return { array: { backPitchMm: 3 }, cells } as unknown as Result;
}

test.each([0, 7, -95, 180])(
  'a bundle photographed anew and turned by %d° is matched tube by tube',
  (turnDeg) => {
    const [earlier, later] = [bundle(0, 5), bundle(turnDeg, 6, (tube) => tube % 40 !== 0)];
    const match = matchPacked(earlier, later)!;
    expect(match.turnedDeg).toBeCloseTo(turnDeg, 0);
    for (const [a, b] of match.pairs) expect(later.cells[b]!.cell).toBe(earlier.cells[a]!.cell);
    expect(match.pairs).toHaveLength(later.cells.length);
  },
);

test('another bundle in the same order is not taken for it', () => {
  const other = bundle(0, 6);
  const dealt = other.cells.map((cell, k) => ({
    ...cell,
    transmission: other.cells[(k * 37 + 11) % other.cells.length]!.transmission,
  }));
  expect(matchPacked(bundle(0, 5), { ...other, cells: dealt } as unknown as Result)).toBeNull();
});
