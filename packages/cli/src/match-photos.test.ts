import type { ShotKind } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { matchPhotos } from './match-photos.js';

const kinds = (...all: ShotKind[]) => all.map((kind) => ({ kind }));
const photos = (...all: ShotKind[]) => all.map((looksLike, n) => ({ name: `IMG_${n}.jpg`, looksLike }));

describe('matchPhotos', () => {
  test('photos go to shots in their order; a merged pair and a single tube look like one lamp', () => {
    const result = matchPhotos(
      kinds('dark', 'even', 'pair', 'single', 'bare'),
      photos('dark', 'even', 'lamp', 'lamp', 'bare'),
    );
    expect(result).toEqual({
      matched: kinds('dark', 'even', 'pair', 'single', 'bare').map((shot, n) => ({
        shot,
        photo: `IMG_${n}.jpg`,
        doubt: null,
      })),
    });
  });

  test('a photo that looks like another kind is marked', () => {
    const result = matchPhotos(kinds('even', 'dark'), photos('dark', 'even'));
    expect('matched' in result && result.matched.map(({ doubt }) => doubt)).toEqual(['dark', 'even']);
  });

  test('a photo too few: both lists are told as runs of like shots', () => {
    expect(
      matchPhotos(
        kinds('dark', 'even', 'even', 'pair', 'lamp', 'bare'),
        photos('dark', 'even', 'even', 'lamp', 'bare'),
      ),
    ).toEqual({
      planned: '1 dark, 2 even, 2 with lamps, 1 bare',
      taken: '1 dark, 2 even, 1 with lamps, 1 bare',
    });
  });
});
