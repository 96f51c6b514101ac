import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import type { ReducedPhoto } from '@twolamp/session';
import { averageDarks, type DarkFrame, smoothDark, takeDarkOff } from './dark.js';
import type { Exposure } from './exposure.js';

const plane = (values: readonly number[]) => ({ width: 3, height: 2, data: Float32Array.from(values) });
const photo = (values: readonly number[]): ReducedPhoto => ({
  ...plane(values),
  factor: 2,
  clipped: null,
});
const seconds = (time: number | null): Exposure => ({ seconds: time, iso: 100, aperture: 2 });
const frame = (time: number | null, values: readonly number[]): DarkFrame => ({
  plane: plane(values),
  exposure: seconds(time),
});

describe('takeDarkOff', () => {
  // Stray light of 0.01 to 0.06 a second under light of 0.5 a second, in exposures of 1, 2 and 1/4 seconds.
  const stray = [0.01, 0.02, 0.03, 0.04, 0.05, 0.06];
  const timed = (time: number) => stray.map((value) => value * time);

  test.each([1, 2, 0.25])('scales a dark frame of 1 s to a photo of %d s', (time) => {
    const shot = photo(timed(time).map((value) => value + 0.5 * time));
    const clear = takeDarkOff(shot, seconds(time), [frame(1, stray)]);
    for (const value of clear.data) expect(Math.abs(value - 0.5 * time)).toBeLessThan(1e-6);
    expect(clear.factor).toBe(2);
  });

  test('takes the frame whose exposure is nearest, by ratio', () => {
    const wrong = [1, 1, 1, 1, 1, 1];
    const clear = takeDarkOff(photo(timed(3)), seconds(3), [
      frame(0.9, wrong),
      frame(6, timed(6)),
      frame(16, wrong),
    ]);
    for (const value of clear.data) expect(Math.abs(value)).toBeLessThan(1e-6);
  });

  test.each<[number | null, number | null]>([
    [null, 2],
    [0.25, null],
    [null, null],
  ])('takes it off as it is where times are unknown (%s s, %s s)', (time, darkTime) => {
    const shot = photo(stray.map((value) => value + 0.5));
    const clear = takeDarkOff(shot, seconds(time), [frame(darkTime, stray)]);
    for (const value of clear.data) expect(Math.abs(value - 0.5)).toBeLessThan(1e-6);
  });

  test('leaves the photo as it is where there is no dark frame', () => {
    const shot = photo(stray);
    expect(takeDarkOff(shot, seconds(1), [])).toBe(shot);
  });

  test('leaves its input alone', () => {
    const [shot, dark] = [photo(timed(2)), frame(1, stray)];
    const before = [shot.data.slice(), dark.plane.data.slice()];
    takeDarkOff(shot, seconds(2), [dark]);
    expect([shot.data, dark.plane.data]).toEqual(before);
  });
});

describe('averageDarks', () => {
  test('one frame for each exposure, the mean of its own', () => {
    const averaged = averageDarks([
      frame(1, [1, 2, 3, 4, 5, 6]),
      frame(2, [9, 9, 9, 9, 9, 9]),
      frame(1, [3, 4, 5, 6, 7, 8]),
    ]);
    expect(averaged).toEqual([frame(1, [2, 3, 4, 5, 6, 7]), frame(2, [9, 9, 9, 9, 9, 9])]);
  });

  test('of n frames has the noise of one over √n', () => {
    const random = seededRandom(5);
    const size = 20_000;
    const frames = Array.from({ length: 9 }, () => ({
      plane: { width: size, height: 1, data: Float32Array.from({ length: size }, () => random.normal()) },
      exposure: seconds(1),
    }));
    const [mean] = averageDarks(frames);
    const variance = mean!.plane.data.reduce((sum, value) => sum + value * value, 0) / size;
    // The variance of 20 000 values is known to 1 %.
    expect(Math.abs(variance * 9 - 1)).toBeLessThan(0.04);
  });

  test('none in, none out', () => {
    expect(averageDarks([])).toEqual([]);
  });
});

describe('smoothDark', () => {
  const [width, height] = [80, 60];
  const inside = (x: number, y: number) => x >= 10 && x < 70 && y >= 10 && y < 50;
  /** Stray light that changes slowly on the sheet, next to none beyond it. */
  const strayAt = (x: number, y: number) => (inside(x, y) ? 0.05 + 0.00004 * x - 0.00002 * y : 0.01);
  const counted = Uint8Array.from({ length: width * height }, (_, at) =>
    inside(at % width, Math.floor(at / width)) ? 1 : 0,
  );
  const noisy = (sigma: number, hot: number): DarkFrame => {
    const random = seededRandom(3);
    const data = Float32Array.from({ length: width * height }, (_, at) => {
      const light = strayAt(at % width, Math.floor(at / width)) + sigma * random.normal();
      return at === hot ? light + 0.3 : light;
    });
    return { plane: { width, height, data }, exposure: seconds(1) };
  };
  const hot = 30 * width + 40;
  const smooth = smoothDark(noisy(0.002, hot), counted, 5).plane.data;
  const off = (at: number) => smooth[at] - strayAt(at % width, Math.floor(at / width));

  test('keeps a tenth of the noise and no more, up to the sheet’s edge', () => {
    const misses = Array.from(counted.keys()).filter((at) => counted[at] && at !== hot);
    const scatter = Math.sqrt(misses.reduce((sum, at) => sum + off(at) ** 2, 0) / misses.length);
    // A Gaussian window of 5 px averages over 4π·5² = 314 pixels, over half of them at the edge.
    expect(scatter).toBeLessThan(0.0002);
    expect(scatter).toBeGreaterThan(0.002 / Math.sqrt(314) / 2);
  });

  test('leaves hot pixels as they are', () => {
    expect(Math.abs(off(hot) - 0.3)).toBeLessThan(0.01);
  });

  test('leaves what lies beyond the sheet as it is', () => {
    const before = noisy(0.002, hot).plane.data;
    for (const [at, own] of counted.entries()) if (!own) expect(smooth[at]).toBe(before[at]);
  });
});
