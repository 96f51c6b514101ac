import { InputError } from '@twolamp/session';
import { expect, test } from 'vitest';
import { smallPlan } from '../fixtures/small-plan.js';
import { listPhotos } from './photo-names.js';

const names = (shots: string, photo = '{ width: 280, height: 200 }', scenes = '[]') =>
  listPhotos(smallPlan({ shots, photo, scenes })).map(({ name }) => name);

test('photos are called after their kind, numbered where there are more, repeats included', () => {
  const lamps = Array.from({ length: 9 }, () => '{ kind: lamp, across: 0 mm, up: 0 mm, distance: 2 m }').join(
    ', ',
  );
  const shots = `[{ kind: even }, ${lamps}, { kind: lamp, across: 1 mm, up: 0 mm, distance: 2 m, repeats: 2 }]`;
  const all = names(shots);
  expect(all.slice(0, 3)).toEqual(['even.jpg', 'lamp-01.jpg', 'lamp-02.jpg']);
  expect(all.at(-1)).toBe('lamp-11.jpg');
});

test('stated names stay, and the file format gives the ending of the others', () => {
  const shots = '[{ kind: even, photo: lit.png }, { kind: even }]';
  expect(names(shots, '{ width: 280, height: 200, format: png8 }')).toEqual(['lit.png', 'even.png']);
});

test('two photos of one name are refused', () => {
  const shots = '[{ kind: dark, photo: even.jpg }, { kind: even }]';
  expect(() => names(shots)).toThrow(InputError);
  expect(() => names(shots)).toThrow('two photos would be called even.jpg');
});

const shown = (scenes: string) => names('[{ kind: even }]', undefined, scenes);

test('photos of scenes come last', () => {
  const scene = 'picture: street.png, width: 0.6 m, distance: 1.5 m';
  expect(shown(`[{ ${scene} }]`)).toEqual(['even.jpg', 'scene.jpg']);
  expect(shown(`[{ ${scene} }, { ${scene}, photo: near.jpg }, { ${scene} }]`)).toEqual([
    'even.jpg',
    'scene-1.jpg',
    'near.jpg',
    'scene-2.jpg',
  ]);
});

test.each(['scene.jpg', './even.jpg'])(
  'a photo never takes the place of a scene’s picture: %s',
  (picture) => {
    const scenes = `[{ picture: ${picture}, width: 0.6 m, distance: 1.5 m }]`;
    expect(() => shown(scenes)).toThrow(InputError);
    expect(() => shown(scenes)).toThrow(`a photo would be called ${picture}, as a scene’s picture is`);
  },
);
