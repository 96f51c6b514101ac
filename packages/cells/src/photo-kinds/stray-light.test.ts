import { describe, expect, test } from 'vitest';
import { judgeStray } from './stray-light.js';

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
  test.each<[string, number, typeof room, string | null]>([
    ['a dark shot with the room’s light', 0.31, room, null],
    ['a black picture', 0, room, 'darker than the stray light'],
    ['half of the light', 0.15, room, 'darker than the stray light'],
    ['twice the light', 0.6, room, 'bright'],
    ['a dark shot, where light between cells is what the sheet scatters', 0.001, scattered, null],
    ['too few photos to tell', 0, room.slice(0, 4), null],
    ['hardly any stray light, and a camera that crushes it', 0, photos((exposure) => 6e-4 * exposure), null],
  ])('%s', (_, gap, others, seenAs) => {
    expect(judgeStray(dark(gap), others)).toBe(seenAs);
  });
});
