import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { drawCells, hexagonalArray, type Scene, softDisc, testArray } from '../fixtures/draw-cells.js';
import { findPeriod } from './period.js';
import { findSpots } from './spots.js';

const photoOf = (scene: Parameters<typeof drawCells>[0]) => drawCells(scene).photo;
const turned = (lengthPx: number, angleDeg: number) => [
  lengthPx * Math.cos((angleDeg * Math.PI) / 180),
  lengthPx * Math.sin((angleDeg * Math.PI) / 180),
];

describe('findPeriod', () => {
  const [square, hexagonal] = [testArray(9, 13), hexagonalArray(10, 12, 'odd')];
  test.each<[string, Pick<Scene, 'array' | 'pitchPx'> & Partial<Scene>]>([
    ['square', { array: square, pitchPx: 17.3 }],
    ['square, turned', { array: square, pitchPx: 21, turnDeg: 8 }],
    ['square, small spots', { array: square, pitchPx: 30, spot: softDisc(0.2, 0.04) }],
    ['square, larger than the window', { array: square, pitchPx: 96, spot: softDisc(0.4, 0.02) }],
    ['hexagonal', { array: hexagonal, pitchPx: 17.3 }],
    ['hexagonal, turned', { array: hexagonal, pitchPx: 21, turnDeg: -8 }],
  ])('%s: both steps, near enough to grow from', (_, scene) => {
    const period = findPeriod(photoOf(scene), scene.array)!;
    const { pitchPx, turnDeg = 0 } = scene;
    const between = scene.array.arrangement === 'square' ? 90 : 60;
    const steps = [turned(pitchPx, turnDeg), turned(pitchPx, turnDeg + between)];
    // 3 of 100; growing allows for 28 of 100.
    [period.a, period.b].forEach(([x, y], n) => {
      expect(Math.hypot(x - steps[n]![0]!, y - steps[n]![1]!)).toBeLessThan(0.03 * pitchPx);
    });
  });

  test('shows how clear the pattern is', () => {
    const random = seededRandom(2);
    const clear = photoOf({ array: square, pitchPx: 16 });
    const noise = clear.light.map((value) => value + 1.5 * random.normal());
    const faint = findPeriod({ ...clear, light: noise }, square);
    expect(findPeriod(clear, square)!.clarity).toBeGreaterThan(0.7);
    expect(faint?.clarity ?? 0).toBeLessThan(0.5);
  });
});

test('findSpots: one spot a cell, to a twentieth of a pitch where neighbours are even', () => {
  const scene = { array: testArray(9, 13), pitchPx: 17.3, spot: softDisc(0.36, 0.06) };
  const drawn = drawCells({ ...scene, noise: { electrons: 20_000, read: 0.001, random: seededRandom(5) } });
  const spots = findSpots(
    { width: drawn.photo.width, height: drawn.photo.height, data: drawn.photo.light },
    17.3,
  );
  expect(spots.x).toHaveLength(9 * 13);
  // Inside, where neighbours pull evenly; at the rim the band-pass draws spots some hundredths of a pitch aside.
  const inner = Array.from(drawn.x.keys()).filter((k) => k % 13 > 0 && k % 13 < 12 && k > 13 && k < 8 * 13);
  for (const k of inner) {
    const misses = Array.from(spots.x, (x, n) => Math.hypot(x - drawn.x[k]!, spots.y[n]! - drawn.y[k]!));
    const miss = Math.min(...misses);
    expect(miss).toBeLessThan(0.05 * 17.3);
    expect(Math.abs(spots.strength[misses.indexOf(miss)]! - 1)).toBeLessThan(0.2);
  }
});
