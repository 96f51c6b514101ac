import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { correlation, previewAgainstPhoto } from '../bench/preview/agreement.js';
import { sceneSession } from '../bench/preview/draw-array.js';

const SIZE = { rows: 8, columns: 10 };
/** Goal of the preview against a photo of the scene; the bench tries more and larger arrays. */
const LEAST_CORRELATION = 0.99;

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'twolamp-preview-'));
});
afterEach(() => rm(folder, { recursive: true }));

// The photo is traced from the scene through each tube with its bow, its own front end and its leaks, then photographed; the
// preview knows the measured figures alone.
test('a preview agrees with the photo of the scene through the same tubes', async () => {
  const plan = sceneSession({ arrangement: 'square', gloss: 0.3, faults: true, sweep: true }, SIZE, 33);
  const { preview, photographed } = await previewAgainstPhoto(plan, folder);
  const previewed = preview.tubes.map(({ asMeasured }) => asMeasured);
  const { asItIs, overTrend } = photographed;
  expect(correlation(previewed, asItIs)).toBeGreaterThan(LEAST_CORRELATION);
  expect(correlation(previewed, overTrend)).toBeGreaterThan(LEAST_CORRELATION);
  // The figure can fail: neither the photo mirrored nor the array without its faults comes near it.
  const mirrored = asItIs.map(
    (_, i) => asItIs[i - (i % SIZE.columns) + SIZE.columns - 1 - (i % SIZE.columns)]!,
  );
  expect(correlation(previewed, mirrored)).toBeLessThan(0.7);
  const perfect = preview.tubes.map((tube) => tube.perfect);
  expect(correlation(perfect, asItIs)).toBeLessThan(0.97);
  expect(preview.similarity!.repaired).toBeGreaterThan(preview.similarity!.asMeasured);
}, 120_000);
