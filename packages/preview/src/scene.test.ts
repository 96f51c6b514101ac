import type { LinearPhoto } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { flatScene, WHOLE_SCENE } from './fixtures/scenes.js';
import { type Scene, sceneGrid } from './scene.js';

const total = (values: Float32Array) => values.reduce((sum, one) => sum + one, 0);

/** Centre of gravity of a grid's light, mm. */
function centre({ data, width, stepMm, leftMm, topMm }: ReturnType<typeof sceneGrid>): [number, number] {
  let across = 0;
  let up = 0;
  data.forEach((light, i) => {
    across += light * (leftMm + (i % width) * stepMm);
    up += light * (topMm - Math.floor(i / width) * stepMm);
  });
  return [across / total(data), up / total(data)];
}

describe('sceneGrid', () => {
  const oneLit = (x: number, y: number): Scene =>
    flatScene({ width: 30, height: 18, widthMm: 300, distanceMm: 1000 }, (i, j) =>
      i === x && j === y ? 1 : 0,
    );

  // Pixels of 10 mm: finer, the same, a whole multiple, neither, one for all.
  test.each([2.5, 3, 10, 20, 27, 77, 500])('pixels of %d mm keep the light and its place', (stepMm) => {
    for (const [x, y] of [
      [0, 0],
      [29, 17],
      [7, 12],
    ] as const) {
      const grid = sceneGrid(oneLit(x, y), stepMm, WHOLE_SCENE);
      expect(grid.width).toBe(Math.ceil(300 / stepMm));
      expect(grid.height).toBe(Math.ceil(180 / stepMm));
      // 10 mm × 10 mm of white
      expect(total(grid.data) * stepMm * stepMm).toBeCloseTo(100, 3);
      const [across, up] = centre(grid);
      // A pixel's light is given the pixel's middle.
      expect(Math.abs(across - (x - 14.5) * 10)).toBeLessThanOrEqual(stepMm / 2);
      expect(Math.abs(up - (8.5 - y) * 10)).toBeLessThanOrEqual(stepMm / 2);
    }
  });

  test('means over whole pixels', () => {
    const { data } = sceneGrid(
      flatScene({ width: 4, height: 2, widthMm: 4, distanceMm: 9 }, (x, y) => x + 10 * y),
      2,
      WHOLE_SCENE,
    );
    expect([...data]).toEqual([5.5, 7.5]);
  });

  test.each([3, 7, 10, 40])('what no tube sees is left out, the rest stays: pixels of %d mm', (stepMm) => {
    const scene = flatScene({ width: 30, height: 18, widthMm: 300, distanceMm: 1000 }, (x, y) => x + 31 * y);
    const whole = sceneGrid(scene, stepMm, WHOLE_SCENE);
    const part = sceneGrid(scene, stepMm, { acrossMm: 60, upMm: 30 });
    expect(-part.leftMm).toBeGreaterThanOrEqual(60);
    expect(-part.leftMm).toBeLessThan(60 + 2 * stepMm);
    expect(part.topMm).toBeGreaterThanOrEqual(30);
    const right = Math.round((part.leftMm - whole.leftMm) / stepMm);
    const down = Math.round((whole.topMm - part.topMm) / stepMm);
    part.data.forEach((light, i) => {
      const x = right + (i % part.width);
      const y = down + Math.floor(i / part.width);
      expect(light).toBeCloseTo(whole.data[y * whole.width + x]!, 3);
    });
  });

  test('leaves the photo as it was, and refuses a step that is none', () => {
    const photo: LinearPhoto = oneLit(3, 3).photo;
    const before = photo.light.slice();
    sceneGrid(oneLit(3, 3), 7, WHOLE_SCENE);
    expect(photo.light).toEqual(before);
    expect(() => sceneGrid(oneLit(3, 3), 0, WHOLE_SCENE)).toThrow('stepMm must be above 0');
  });
});
