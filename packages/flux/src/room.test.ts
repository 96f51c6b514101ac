import { expect, test } from 'vitest';
import { dropLentRoom, withLentRoom } from './room.js';

test('an array is lent anew, and empty, once it was given back or the work that had it is done', () => {
  dropLentRoom();
  const first = withLentRoom((room) => {
    const [one, other] = [room.take(100).fill(1), room.take(100).fill(2)];
    expect(one.buffer).not.toBe(other.buffer);
    room.giveBack(one);
    const again = room.take(90);
    expect(again.buffer).toBe(one.buffer);
    expect(again).toEqual(new Float32Array(90));
    expect(other.every((value) => value === 2)).toBe(true);
    return [one.buffer, other.buffer];
  });
  const later = withLentRoom((room) => [room.take(95), room.take(95)]);
  expect(new Set(later.map(({ buffer }) => buffer))).toEqual(new Set(first));
  for (const array of later) expect(array).toEqual(new Float32Array(95));
});

test('an array that is far too large is left, and what was dropped is not lent again', () => {
  const large = withLentRoom((room) => room.take(1000).buffer);
  expect(withLentRoom((room) => room.take(10).buffer)).not.toBe(large);
  const next = withLentRoom((room) => room.take(1000).buffer);
  dropLentRoom();
  expect(withLentRoom((room) => room.take(1000).buffer)).not.toBe(next);
});
