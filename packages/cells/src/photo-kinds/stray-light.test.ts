import { describe, expect, test } from 'vitest';
import { judgeStray, strayShare } from './stray-light.js';

/** Photos of pairs of lamps ever farther away, exposed ever longer, in a room with stray light. */
const photos = (gap: (exposure: number, spot: number) => number) =>
  [0.3, 0.8, 1, 2.5, 5].map((exposure) => {
    const spot = 0.5 / exposure ** 0.2;
    return { exposure, range: { gap: gap(exposure, spot), spot: spot + gap(exposure, spot) } };
  });
const dark = (gap: number) => ({ exposure: 5, range: { gap, spot: gap } });

describe('judgeStray', () => {
  const room = photos((exposure) => 0.06 * exposure);
  const scattered = photos((_, spot) => 0.06 * spot);
  // Exposed alike, a fifth as long as the dark shot: the gaps don't tell what of them is the camera's.
  const blackLevel = [0.2, 0.3, 0.4, 0.5, 0.6].map((spot) => ({ exposure: 1, range: { gap: 0.01, spot } }));
  test.each<[string, number, typeof room, string | null]>([
    ['a dark shot with the room’s light', 0.31, room, null],
    ['a black picture', 0, room, 'darker than the stray light'],
    ['half of the light', 0.15, room, 'darker than the stray light'],
    ['twice the light', 0.6, room, 'bright'],
    ['a dark shot, where light between cells is what the sheet scatters', 0.001, scattered, null],
    ['a black level and hardly any stray light, in photos exposed alike', 0.012, blackLevel, null],
    ['the same, were all of it stray light', 0.048, blackLevel, null],
    ['brighter than either', 0.08, blackLevel, 'bright'],
    ['darker than either', 0.003, blackLevel, 'darker than the stray light'],
    ['too few photos to tell', 0, room.slice(0, 4), null],
    ['hardly any stray light, and a camera that crushes it', 0, photos((exposure) => 6e-4 * exposure), null],
  ])('%s', (_, gap, others, seenAs) => {
    expect(judgeStray(dark(gap), others)).toBe(seenAs);
  });
});

describe('strayShare', () => {
  const look = (spot: number, gap: number) => ({
    spot: Float64Array.of(spot, spot, Number.NaN),
    gap: Float64Array.of(gap, gap, Number.NaN),
  });
  test.each<[string, number, number | null, number]>([
    ['a dark room', 0.003, 1, 0.005],
    ['a bright one', 0.3, 1, 0.5],
    ['the same, with twice the exposure', 0.6, 2, 0.5],
    ['exposures that aren’t known', 0.3, null, 0.5],
  ])('%s', (_, dark, exposureRatio, share) => {
    expect(strayShare(look(dark, dark), look(0.6, 0.02), exposureRatio)).toBeCloseTo(share, 6);
  });
});
