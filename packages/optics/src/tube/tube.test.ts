import { describe, expect, test } from 'vitest';
import { bowOf, requireTube, resolveWall, type Wall } from './tube.js';

describe('resolveWall', () => {
  test('a name stands for a description', () => {
    expect(resolveWall('matte black')).toMatchObject({ gloss: 0, diffuse: 0 });
    expect(resolveWall('glossy black').gloss).toBeGreaterThan(0);
  });

  test('a description without diffuse does not scatter', () => {
    expect(resolveWall({ index: 1.6, extinction: 0.1, gloss: 0.3 })).toEqual({
      index: 1.6,
      extinction: 0.1,
      gloss: 0.3,
      diffuse: 0,
    });
  });

  const good: Wall = { index: 1.5, extinction: 0, gloss: 0.5 };
  test.each<[string, Wall]>([
    ['index', { ...good, index: 0 }],
    ['extinction', { ...good, extinction: -0.1 }],
    ['gloss', { ...good, gloss: 1.01 }],
    ['diffuse', { ...good, diffuse: Number.NaN }],
  ])('names %s when it is bad', (name, wall) => {
    expect(() => resolveWall(wall)).toThrow(new RegExp(`^${name} must`));
  });

  test('says which names there are', () => {
    expect(() => resolveWall('shiny' as 'glossy black')).toThrow(/glossy black, matte black.*got shiny/);
  });
});

describe('a tube', () => {
  const tube = { boreMm: 2, lengthMm: 100 };
  test.each([
    ['boreMm', () => requireTube({ ...tube, boreMm: 0 })],
    ['lengthMm', () => requireTube({ ...tube, lengthMm: -3 })],
    ['bowMm', () => bowOf({ ...tube, bowMm: 30 })],
    ['bowMm', () => bowOf({ ...tube, bowMm: Number.NaN })],
  ])('names %s when it is bad', (name, call) => {
    expect(call).toThrow(new RegExp(`^${name} must`));
  });

  test('without a bow is straight', () => {
    expect(bowOf(tube)).toBe(0);
  });
});
