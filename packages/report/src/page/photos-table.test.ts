import { expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { photosSummary, photosTable } from './photos-table.js';

const { photos, ...rest } = exampleResult();

test('a long list is folded under what matters of it', () => {
  expect(photosSummary(photos).replaceAll('\u00a0', ' ')).toBe(
    // The example: 18 pair shots at a drift of (0.3, 0.1) px, 0.32 px in all, and 0.04 % clipped in the bare shot.
    '21 photos: 1 dark, 1 even, 1 bare and 18 pair; 1 with clipped pixels, 0.040 % at most; drift up to 0.3 px',
  );
  const unclipped = photos.slice(0, 2).map((photo) => ({ ...photo, clippedShare: 0 }));
  expect(photosSummary(unclipped)).toMatch(/^2 photos: 1 dark and 1 even; no clipped pixels; drift up to /);
  expect(photosTable({ ...rest, photos })!.markup).toMatch(/^<details>/);
  expect(photosTable({ ...rest, photos: photos.slice(0, 3) })!.markup).not.toContain('<details>');
});

test('what is not known is said not to be', () => {
  const unknown = { ...photos[0]!, exposureS: null, iso: null };
  expect(photosTable({ ...rest, photos: [unknown] })!.markup.match(/not known/g)).toHaveLength(2);
});
