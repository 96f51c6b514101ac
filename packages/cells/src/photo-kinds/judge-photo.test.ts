import { seededRandom } from '@twolamp/optics';
import { describe, expect, test } from 'vitest';
import {
  evenRange,
  fromNoCamera,
  judgeBare,
  judgeDark,
  judgeEven,
  judgeLamps,
  judgeSingle,
  judgeSpots,
  litUnlike,
} from './judge-photo.js';
import type { PhotoLook } from './photo-look.js';

const [ROWS, COLUMNS] = [8, 10];
const COUNT = ROWS * COLUMNS;
const PLACES = {
  u: Float64Array.from({ length: COUNT }, (_, k) => k % COLUMNS),
  v: Float64Array.from({ length: COUNT }, (_, k) => Math.floor(k / COLUMNS)),
};

const look = (spot: number, gap: number): PhotoLook => ({
  spot: new Float64Array(COUNT).fill(spot),
  gap: new Float64Array(COUNT).fill(gap),
  noise: 0.004,
  spotNoise: 0.0005,
  darkest: gap - 0.02,
  brightest: spot + 0.02,
});

describe('fromNoCamera', () => {
  const even = look(0.6, 0.02);
  const noisy = (noise: number, light = 0.6) => ({ ...look(light, 0.02), noise });
  test.each<[string, PhotoLook, PhotoLook, string | null]>([
    ['three times the noise of the even shot', noisy(0.012), even, null],
    ['television snow', noisy(0.1), even, 'noise'],
    ['a photo of nine times the light, with three times the noise', noisy(0.02, 0.6), look(0.07, 0.02), null],
    ['the noise of 8 bits, where compression hid the even shot’s', noisy(0.006), noisy(0.0001), null],
    ['snow, where compression hid the even shot’s noise', noisy(0.03), noisy(0.0001), 'noise'],
  ])('%s', (_, photo, reference, seenAs) => {
    expect(fromNoCamera(photo, reference)).toBe(seenAs);
  });
});

describe('judgeDark', () => {
  const even = look(0.6, 0.02);
  test.each<[string, PhotoLook, number, PhotoLook, number | null, string | null]>([
    ['dark', look(0.003, 0.003), 0.008, even, 1, null],
    [
      'a bright room, its noise hidden by compression',
      { ...look(0.2, 0.2), noise: 0 },
      0.022,
      even,
      25,
      null,
    ],
    ['a tube that is lit at its rim only', look(0.003, 0.003), 0.06, even, 1, 'tubes lit'],
    [
      'an even shot, so noisy that no speck stands out',
      look(0.56, 0.49),
      0.07,
      look(0.57, 0.49),
      1,
      'tubes lit',
    ],
    ['light all over', look(0.4, 0.4), 0.008, even, 1, 'bright'],
    ['stray light that four times the exposure explains', look(0.4, 0.4), 0.008, even, 4, null],
    [
      'as much light as in a bright room, in a hundredth of the exposure',
      look(0.4, 0.4),
      0.008,
      look(0.6, 0.4),
      0.01,
      'bright',
    ],
    [
      'stray light of a bright room, as between the even shot’s spots',
      look(0.4, 0.4),
      0.008,
      look(0.6, 0.4),
      1,
      null,
    ],
    ['more of it than lies there', look(0.7, 0.7), 0.008, look(0.6, 0.4), 1, 'bright'],
    ['no photo', { ...look(0.4, 0.4), darkest: 0.4, brightest: 0.4 }, 0, even, 1, 'all alike'],
  ])('%s', (_, photo, speck, reference, exposureRatio, seenAs) => {
    expect(judgeDark(photo, speck, reference, exposureRatio)).toBe(seenAs);
  });
});

describe('judgeBare', () => {
  const even = look(0.6, 0.02);
  const clouded = look(0.5, 0.5);
  const random = seededRandom(8);
  const scattered = (share: number): PhotoLook => {
    const light = PLACES.u.map(() => 0.5 * Math.exp(share * random.normal()));
    return { ...look(0.5, 0.5), spot: light, gap: light };
  };
  test.each<[string, PhotoLook, number, string | null]>([
    ['a sheet', clouded, 0.03, null],
    ['a sheet of cloudy paper', scattered(0.05), 0.05, null],
    ['a picture of something else', scattered(0.4), 0.05, 'not smooth'],
    ['a sheet with one tube lit', clouded, 0.4, 'not smooth'],
    ['an even shot', look(0.6, 0.03), 0.5, 'a pattern of spots'],
    ['nothing', look(0.001, 0.001), 0, 'nothing lit'],
  ])('%s', (_, photo, speck, seenAs) => {
    expect(judgeBare(photo, speck, even, PLACES)).toBe(seenAs);
  });
});

describe('judgeSpots', () => {
  const even = look(0.06, 0.002);
  const slope = PLACES.u.map((u) => 0.6 - 0.002 * u);
  const sheet = { ...look(0, 0), spot: slope, gap: slope };
  test.each<[string, PhotoLook, string | null]>([
    ['lit tubes', look(0.03, 0.001), null],
    ['tubes that are hardly lit', look(0.0046, 0), null],
    ['a sheet without tubes, dimmer to one side', sheet, 'no spots'],
    ['less light than can be told from black', look(0.002, 0.002), null],
  ])('%s', (_, photo, seenAs) => {
    expect(judgeSpots(photo, photo.spotNoise, even)).toBe(seenAs);
  });
});

const lightOf = (flux: Float64Array) => ({
  flux,
  sigma: flux.map(() => 1e-4),
  clipped: new Uint8Array(COUNT),
});

describe('judgeEven', () => {
  const random = seededRandom(9);
  const reference = PLACES.u.map(() => 1 + 0.1 * random.normal());
  const lit = (share: (k: number) => number) => lightOf(reference.map((value, k) => value * share(k)));
  test.each([
    ['as before', lit(() => 1), null],
    ['other light, dimmer to one side', lit((k) => 1 - PLACES.u[k]! / 20), null],
    ['a lamp’s patch', lit((k) => Math.exp(-((PLACES.u[k]! - 4) ** 2) / 8)), 'not even'],
    ['nothing', lit(() => 0), 'nothing lit'],
    ['a ghost of a thousandth of the light', lit(() => 0.001), 'nothing lit'],
  ])('%s', (_, light, seenAs) => {
    expect(judgeEven(light, reference)).toBe(seenAs);
  });
});

describe('judgeSingle', () => {
  const reference = new Float64Array(COUNT).fill(1);
  // Light that leaks comes out of neighbours.
  const one = (own: number, other: number) => {
    const flux = new Float64Array(COUNT);
    flux.set([other, own, other], 33);
    return lightOf(flux);
  };
  test.each([
    ['the tube alone', one(1, 0), null],
    ['a tube that leaks as much as it keeps', one(0.5, 0.25), null],
    ['the tubes beside it', one(0.05, 0.5), 'other tubes lit'],
    ['all tubes', lightOf(reference), 'other tubes lit'],
  ])('%s', (_, light, seenAs) => {
    expect(judgeSingle(light, reference, 34)).toBe(seenAs);
  });
});

describe('judgeLamps', () => {
  const even = PLACES.u.map((u, k) => 1 + 0.1 * Math.sin(7 * k + u));
  const lamp = (width: number) =>
    PLACES.u.map((u, k) => Math.exp(-((u - 4.5) ** 2 + (PLACES.v[k]! - 3.5) ** 2) / (2 * width ** 2)));
  const few = (lit: number, dark: number) => PLACES.u.map((u) => (u < 2 ? lit : dark));
  /** A lamp's light, and of so many of the cells it lights least, less than none. */
  const below = (share: number, light: number, peak = 1) => {
    const lit = lamp(2).map((value) => peak * value);
    const dimmest = [...lit.keys()].sort((a, b) => lit[a]! - lit[b]!).slice(0, share * COUNT);
    return lit.map((value, k) => (dimmest.includes(k) ? light : value));
  };
  const through = (light: Float64Array) => lightOf(light.map((value, k) => value * even[k]!));
  test.each<[string, Float64Array, Float64Array | null, string | null]>([
    ['a lamp', lamp(2), lamp(2), null],
    ['a lamp through glossy tubes, which see wider', lamp(4), lamp(2), null],
    ['even light', even.map(() => 0.7), lamp(2), 'evenly lit'],
    ['even light where a lamp would light most tubes', even.map(() => 0.7), lamp(6), 'evenly lit'],
    ['a lamp that should light all tubes alike', lamp(30), lamp(30), null],
    ['a few lit by a lamp, the dark ones alike by stray light', few(0.3, 0.002), few(1, 0), null],
    ['none', few(0, 0), lamp(2), 'nothing lit'],
    ['none, where none looks at a lamp', few(0, 0), few(0, 0), null],
    ['none, where one looks past a lamp', few(0, 0), few(0.01, 0), null],
    ['none, where a lamp lights some to a quarter', few(0, 0), few(0.25, 0), 'nothing lit'],
    ['one in twenty darker than its background', below(0.05, -0.3), lamp(2), null],
    ['one in three darker than its background', below(0.33, -0.3), lamp(2), 'darker than its background'],
    ['one in three darker by what is left of a neighbour’s light', below(0.33, -0.03), lamp(2), null],
    ['weak light, one in three darker by noise', below(0.33, -4e-4, 3.5e-3), lamp(2), null],
    ['packed tubes', even.map(() => 0.7), null, null],
  ])('%s', (_, light, expected, seenAs) => {
    expect(judgeLamps(through(light), even, expected)).toBe(seenAs);
  });
});

describe('litUnlike', () => {
  const random = seededRandom(5);
  const light = (share: (u: number) => number, noise: number) => {
    const flux = PLACES.u.map((u) => share(u) * (1 + noise * random.normal()));
    return { flux, sigma: flux.map((one) => noise * one), clipped: new Uint8Array(COUNT) };
  };
  test.each([
    { what: 'the same light', to: light(() => 1, 0.005), unlike: false },
    { what: 'the same light, with much noise', to: light(() => 1, 0.05), unlike: false },
    { what: 'twice the light', to: light(() => 2, 0.005), unlike: false },
    { what: 'a lamp from one side', to: light((u) => Math.exp(-u / 20), 0.005), unlike: true },
  ])('$what', ({ to, unlike }) => {
    expect(
      litUnlike(
        to,
        light(() => 1, 0.005),
      ) !== null,
    ).toBe(unlike);
  });
});

describe('evenRange', () => {
  const lit = (light: (u: number, v: number) => number) => {
    const flux = PLACES.u.map((u, k) => light(u, PLACES.v[k]!));
    return { flux, sigma: flux.map(() => 1e-4), clipped: new Uint8Array(COUNT) };
  };
  const lamp = (width: number) => (u: number, v: number) =>
    Math.exp(-((u - 4.5) ** 2 + (v - 3.5) ** 2) / (2 * width ** 2));

  test('even light that falls off to a half at one side, some tubes blocked', () => {
    const range = evenRange(
      lit((u, v) => (u === v ? 0.001 : 1 - u / 18)),
      PLACES,
    )!;
    expect(range).toBeGreaterThan(0.45);
    expect(range).toBeLessThan(0.6);
  });

  test('a lamp’s patch', () => {
    expect(evenRange(lit(lamp(2)), PLACES)).toBeLessThan(0.12);
  });

  test('too few lit cells tell nothing', () => {
    expect(
      evenRange(
        lit((u, v) => (u < 3 && v < 3 ? 1 : 0)),
        PLACES,
      ),
    ).toBeNull();
  });
});
