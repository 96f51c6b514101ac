import {
  absorbingAcceptance,
  absorbingWidthRad,
  circleOverlap,
  seededRandom,
  traceAcceptance,
} from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { flatScene, WHOLE_SCENE } from './fixtures/scenes.js';
import { sceneGrid } from './scene.js';
import { glimpse, type Sight, sightProfile } from './sight.js';

const TUBE = { boreMm: 2.5, lengthMm: 120 };
const profile = sightProfile(absorbingAcceptance(TUBE));
const DISTANCE_MM = 2000;
const HALF = Math.tan(absorbingWidthRad(TUBE) / 2);
/** Half the acceptance at the scene's distance: 16.8 mm. */
const HALF_MM = DISTANCE_MM * HALF;

const straight: Sight = { frontAcrossMm: 0, frontUpMm: 0, slopeAcross: 0, slopeUp: 0, halfWidth: HALF };
const aimedAt = (acrossMm: number, upMm: number): Sight => ({
  ...straight,
  slopeAcross: acrossMm / DISTANCE_MM,
  slopeUp: upMm / DISTANCE_MM,
});

/** 400 × 240 mm in pixels of 1 mm. */
const SIZE = { width: 400, height: 240, widthMm: 400, distanceMm: DISTANCE_MM };
const gridOf = (light: (x: number, y: number) => number) => sceneGrid(flatScene(SIZE, light), 2, WHOLE_SCENE);
const look = (grid: ReturnType<typeof gridOf>, sight: Sight) => glimpse(grid, DISTANCE_MM, profile, sight);

describe('sightProfile', () => {
  test('is the acceptance, in half widths', () => {
    expect(profile.weights[0]).toBe(1);
    expect(profile.weights[64]).toBeCloseTo(0.5, 6);
    // A black tube sees up to the slope d/L; the last 0.2 % of its light come from close by.
    expect(profile.reach).toBeGreaterThan((0.85 * 2.5) / 120 / HALF);
    expect(profile.reach).toBeLessThanOrEqual(2.5 / 120 / HALF + 1 / 64);
    expect(profile.weights.at(-1)).toBe(0);
  });

  test('a glossy tube’s faint surroundings are kept: 0.2 % of even light is left out', () => {
    const glossy = traceAcceptance(TUBE, 'glossy black', seededRandom(1));
    const { weights } = sightProfile(glossy);
    const step = Math.tan(glossy.widthRad / 2) / 64;
    // Even light: ∫ T dv over v = sin² of the angle, as the acceptance's own throughput.
    const kept = weights.reduce(
      (sum, value, i) => sum + (2 * value * i * step * step) / (1 + (i * step) ** 2) ** 2,
      0,
    );
    expect(kept / glossy.evenThroughput).toBeGreaterThan(0.996);
    expect(kept / glossy.evenThroughput).toBeLessThan(1);
  });
});

describe('glimpse', () => {
  test('an even scene that fills the view gives its light, wherever the tube looks', () => {
    const grid = gridOf(() => 0.3);
    for (const sight of [straight, aimedAt(-120, 70), { ...aimedAt(33.3, -12.7), halfWidth: 1.4 * HALF }]) {
      const { light, inside } = look(grid, sight);
      expect(light).toBeCloseTo(0.3, 6);
      expect(inside).toBe(1);
    }
  });

  test('a small light draws the acceptance: two circles’ overlap', () => {
    const grid = gridOf((x, y) => (x >= 199 && x < 201 && y >= 119 && y < 121 ? 1 : 0));
    // ∫ T dΩ = (π/4)(d/L)² for a long black tube: the area that 1 = white would have to fill, 1963 mm².
    const viewMm2 = (Math.PI / 4) * ((DISTANCE_MM * TUBE.boreMm) / TUBE.lengthMm) ** 2;
    for (const share of [0.2, 0.5, 0.808, 1.2, 1.6, 2]) {
      const offMm = share * HALF_MM;
      const expected = circleOverlap((offMm / DISTANCE_MM) * (TUBE.lengthMm / TUBE.boreMm));
      for (const sight of [aimedAt(offMm, 0), aimedAt(0, -offMm), aimedAt(-offMm * 0.6, offMm * 0.8)]) {
        // The light is 2 mm wide, an eighth of the half width, and the outermost 0.2 % of the view are cut off.
        expect(Math.abs((look(grid, sight).light * viewMm2) / 4 - expected)).toBeLessThan(0.01);
      }
    }
  });

  test('half a plane gives a half on its edge, and all or nothing away from it', () => {
    const grid = gridOf((x) => (x >= 200 ? 1 : 0)); // right half lit
    expect(look(grid, straight).light).toBeCloseTo(0.5, 4);
    expect(look(grid, aimedAt(2.5 * HALF_MM, 0)).light).toBeCloseTo(1, 6);
    expect(look(grid, aimedAt(-2.5 * HALF_MM, 0)).light).toBe(0);
    // Opposite places see the complement.
    const [left, right] = [aimedAt(-7, 0), aimedAt(7, 0)].map((sight) => look(grid, sight).light);
    expect(left + right).toBeCloseTo(1, 6);
    expect(right).toBeGreaterThan(0.6);
  });

  test('beyond the scene’s edges it is dark', () => {
    const white = gridOf(() => 1);
    const onEdge = look(white, aimedAt(200, 0));
    expect(onEdge.light).toBeCloseTo(0.5, 2);
    expect(onEdge.inside).toBeCloseTo(onEdge.light, 6);
    expect(look(white, aimedAt(0, 300))).toEqual({ light: 0, inside: 0 });
  });

  test('right is right, up is up; where the front end sits counts as much as where the tube looks', () => {
    const topRight = gridOf((x, y) => (x >= 200 && y < 120 ? 1 : 0));
    expect(look(topRight, aimedAt(60, 50)).light).toBeCloseTo(1, 6);
    for (const [across, up] of [
      [-60, 50],
      [60, -50],
      [-60, -50],
    ] as const) {
      expect(look(topRight, aimedAt(across, up)).light).toBe(0);
    }
    expect(look(topRight, { ...straight, frontAcrossMm: 60, frontUpMm: 50 }).light).toBeCloseTo(1, 6);
  });
});
