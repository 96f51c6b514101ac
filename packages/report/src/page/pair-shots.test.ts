import { expect, test } from 'vitest';
import { exampleEvidence, exampleResult } from '../../../words/src/example/example-result.js';
import { decidingPhoto } from './dip-section.js';
import { lampStrips } from './lamp-strips.js';

const result = exampleResult();
const evidence = exampleEvidence('data:,');

test('one strip a distance, nearest first, each the shot whose dip is the median of its distance', () => {
  const strips = lampStrips(result, evidence);
  expect(strips.map(({ pair }) => pair.distanceM)).toEqual([1, 1.4, 1.8, 2.2, 2.6, 3.2]);
  for (const { pair, profile } of strips) {
    expect(profile.photo).toBe(pair.photo);
    const dips = result.pairs.filter(({ distanceM }) => distanceM === pair.distanceM).map(({ dip }) => dip!);
    expect(dips.filter((dip) => dip < pair.dip!)).toHaveLength(1);
    expect(dips.filter((dip) => dip > pair.dip!)).toHaveLength(1);
  }
});

test('a pair without a dip or a profile has no strip', () => {
  const pairs = result.pairs.map((pair) => ({ ...pair, dip: pair.distanceM < 2 ? null : pair.dip }));
  const profiles = evidence.profiles.slice(0, -3);
  expect(
    lampStrips({ ...result, pairs }, { ...evidence, profiles }).map(({ pair }) => pair.distanceM),
  ).toEqual([2.2, 2.6]);
});

test('the shot shown first is the one whose dip is nearest to the criterion', () => {
  const pairs = [0.9, 0.3, 0.2, 0.01].map((dip, i) => ({ ...result.pairs[i]!, dip })); // the criterion asks 0.265
  const photos = pairs.map(({ photo }) => photo);
  expect(decidingPhoto({ ...result, pairs }, photos)).toBe(photos[1]);
  expect(decidingPhoto({ ...result, pairs }, photos.slice(2))).toBe(photos[2]);
});

test('strips lead away from the array, in whatever order the pairs were shot', () => {
  const shuffled = { ...result, pairs: [...result.pairs].reverse() };
  const distances = lampStrips(shuffled, evidence).map(({ pair }) => pair.distanceM);
  expect(distances).toEqual(
    [...new Set(result.pairs.map(({ distanceM }) => distanceM))].sort((a, b) => a - b),
  );
});
