import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { axisSlopes, frontPlace, seededRandom } from '@twolamp/optics';
import { previewScene } from '@twolamp/preview';
import { describe, expect, test } from 'vitest';
import { npyFile } from '../bench/accuracy/npy.js';
import { peerScript, pythonWith } from '../bench/peers/render-peer.js';
import { flatScene } from '../packages/preview/src/fixtures/scenes.js';
import { typicalResult } from '../packages/preview/src/fixtures/results.js';

const python = pythonWith(['numpy', 'scipy']);
const MISSING = 'skipped, needs python3-numpy and python3-scipy of Debian';

/** Straight black tubes before a scene that they see in parts: single bright squares, bars as wide as a tube's view, a slope. */
const ARRAY = {
  name: 'Black panel',
  arrangement: 'square',
  rows: 9,
  columns: 11,
  tubeLengthMm: 120,
  tubeBoreMm: 2.5,
  backPitchMm: 3,
  frontPitchMm: 4,
} as const;
const LIGHT = (x: number, y: number): number =>
  0.1 + 0.001 * y + (x % 62 < 31 ? 0.3 : 0) + ((x * 7) % 40 < 8 && (y * 3) % 50 < 9 ? 0.5 : 0);

describe.skipIf(python === null)(`a scene beside SciPy${python === null ? ` (${MISSING})` : ''}`, () => {
  // bench/peers/convolve.py: the closed-form overlap of two circles, convolved with the scene by SciPy.
  test.each([800, 1500, 4000])('black tubes, %i mm away: as convolved, within 1 %', (distanceMm) => {
    const scene = flatScene(
      { width: 400, height: 360, widthMm: 400 * (distanceMm / 1500), distanceMm },
      LIGHT,
    );
    const result = typicalResult(ARRAY, 1, () => ({ pointing: null }));
    const { tubes } = previewScene(result, scene, seededRandom(3), { wall: 'matte black' }).preview;
    const axes = tubes.map(({ row, column }) => {
      const front = frontPlace(ARRAY, row!, column!);
      const slopes = axisSlopes(ARRAY, row!, column!);
      return [front.acrossMm + slopes.across * distanceMm, front.upMm + slopes.up * distanceMm];
    });
    const folder = mkdtempSync(join(tmpdir(), 'twolamp-scene-'));
    try {
      const file = join(folder, 'scene.npy');
      writeFileSync(file, npyFile(scene.photo.light, scene.photo.width, scene.photo.height));
      const request = {
        lengthMm: ARRAY.tubeLengthMm,
        boreMm: ARRAY.tubeBoreMm,
        distanceMm,
        widthMm: scene.widthMm,
        axes,
      };
      const answer = execFileSync(python!, [peerScript('convolve.py'), file], {
        input: JSON.stringify(request),
      });
      const known: number[] = JSON.parse(answer.toString());
      const spread = Math.max(...known) / Math.min(...known);
      expect(spread).toBeGreaterThan(1.5);
      tubes.forEach(({ asMeasured }, k) => {
        expect(Math.abs(asMeasured / known[k]! - 1)).toBeLessThan(0.01);
      });
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
