import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { packingInput } from './packing-format.js';
import { stackTubes } from './stack-tubes.js';

const stack = (changes: object, tubes = 400) =>
  stackTubes(tubes, 3, packingInput.parse(changes), seededRandom(6, 8));

const distances = (places: ReturnType<typeof stack>) =>
  places.map((own, k) =>
    Math.min(
      ...places.flatMap(({ acrossMm, upMm }, n) =>
        n === k ? [] : [Math.hypot(acrossMm - own.acrossMm, upMm - own.upMm)],
      ),
    ),
  );

describe('stackTubes', () => {
  // π/(2√3) of the plane is covered by equal circles in hexagonal order (Lagrange; Fejes Tóth).
  test('undisturbed tubes cover π/(2√3) of the place they take', () => {
    const places = stack({ outline: 'box', aspect: 1 }, 900);
    const inner = places.filter(({ acrossMm, upMm }) => Math.abs(acrossMm) < 30 && Math.abs(upMm) < 30);
    const covered = (inner.length * Math.PI * 1.5 ** 2) / 60 ** 2;
    expect(Math.abs(covered / (Math.PI / (2 * Math.sqrt(3))) - 1)).toBeLessThan(0.03);
    for (const distance of distances(places)) expect(distance).toBeCloseTo(3, 6);
  });

  test('a ring is round, a box has its aspect', () => {
    const span = (values: number[]) => Math.max(...values) - Math.min(...values) + 3;
    const sides = (places: ReturnType<typeof stack>) =>
      span(places.map(({ acrossMm }) => acrossMm)) / span(places.map(({ upMm }) => upMm));
    expect(Math.abs(sides(stack({ outline: 'ring' })) - 1)).toBeLessThan(0.08);
    expect(Math.abs(sides(stack({ outline: 'box', aspect: 2 })) - 2)).toBeLessThan(0.2);
  });

  test('breaks, slips, gaps and unequal diameters: as many tubes as stated, hardly an overlap', () => {
    const places = stack({ breaks: 3, slips: 1, gaps: 2, 'diameter-scatter': 0.01 });
    expect(places).toHaveLength(400);
    // Three standard deviations of both diameters, and a hundredth for what relaxation leaves.
    for (const distance of distances(places)) expect(distance).toBeGreaterThan(0.95 * 3);
  });
});
