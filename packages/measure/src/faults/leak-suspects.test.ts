import { type Random, seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import { LAMP_ARRAY } from '../../../flux/src/fixtures/lamp-lights.js';
import { suspectLeaks } from './leak-suspects.js';
import { scoreLight } from './light-scores.js';

const ARRAY = { ...LAMP_ARRAY, rows: 12, columns: 15 };
const FROM = 5 * 15 + 7;
const TO = FROM + 15;
const TUBES = 180;
const SCATTER = 0.03;
const NONE = new Float64Array(TUBES).fill(0.003);

function usualTubes(random: Random): Float64Array {
  return Float64Array.from({ length: TUBES }, () => 1 + SCATTER * random.normal());
}

function suspects(relative: Float64Array, sweep: Parameters<typeof suspectLeaks>[4] = []) {
  return suspectLeaks(ARRAY, relative, NONE, scoreLight(relative, NONE), sweep);
}

describe('suspectLeaks', () => {
  test('what one tube lacks its neighbour has too much: a suspect, with the neighbour and the share', () => {
    const relative = usualTubes(seededRandom(1));
    relative[FROM] = 0.82;
    relative[TO] = 1.18;
    const found = suspects(relative);
    expect([...found.suspects.keys()]).toEqual([FROM]);
    const { to, share } = found.suspects.get(FROM)!;
    expect(to).toBe(TO);
    expect(Math.abs(share - 0.18)).toBeLessThan(0.02);
    // Five standard deviations of the neighbour's own light.
    expect(Math.abs(found.leastShare! / (5 * SCATTER) - 1)).toBeLessThan(0.15);
  });

  test.each([
    { name: 'a dirty tube among typical ones', from: 0.82, to: 1.02 },
    { name: 'more is missing than the neighbour gained', from: 0.5, to: 1.18 },
    { name: 'a bright tube among typical ones', from: 0.98, to: 1.3 },
  ])('$name is no suspect', ({ from, to }) => {
    const relative = usualTubes(seededRandom(1));
    relative[FROM] = from;
    relative[TO] = to;
    expect(suspects(relative).suspects.size).toBe(0);
  });

  test.each([
    { says: 'sees no such leak', share: 0, sigma: 0.02, size: 0 },
    { says: 'sees the leak', share: 0.17, sigma: 0.02, size: 1 },
    { says: 'can’t tell', share: 0.4, sigma: 0.3, size: 1 },
  ])('a sweep that $says', ({ share, sigma, size }) => {
    const relative = usualTubes(seededRandom(1));
    relative[FROM] = 0.82;
    relative[TO] = 1.18;
    expect(suspects(relative, [{ from: FROM, to: TO, share, sigma }]).suspects.size).toBe(size);
  });

  test('a sharp sweep shows a leak that light alone can’t', () => {
    const relative = usualTubes(seededRandom(1));
    relative[FROM] = 0.92;
    relative[TO] = 1.07;
    expect(suspects(relative).suspects.size).toBe(0);
    expect(suspects(relative, [{ from: FROM, to: TO, share: 0.08, sigma: 0.01 }]).suspects.size).toBe(1);
  });

  test('arrays of weak tubes without leaks: at most one suspect in two hundred arrays', () => {
    let found = 0;
    for (let seed = 100; seed < 300; seed++) {
      const random = seededRandom(seed);
      const relative = usualTubes(random);
      for (let n = 0; n < 10; n++)
        relative[Math.floor(TUBES * random.uniform())] *= 0.4 + 0.5 * random.uniform();
      found += suspects(relative).suspects.size;
    }
    // A rate of 0.005 asks for one in two hundred; Poisson, 99.9 %.
    expect(found).toBeLessThan(5);
  });
});
