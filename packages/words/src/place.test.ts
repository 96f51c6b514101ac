import { expect, test } from 'vitest';
import { exampleResult } from './example/example-result.js';
import { placeFromMiddle } from './place.js';

// Who stands before the array has left and right the other way round; up stays up.
test.each([
  [{ across: -12.4, up: 3.2 }, '12 mm left, 3 mm up', '12 mm right, 3 mm up'],
  [{ across: 40, up: -7.6 }, '40 mm right, 8 mm down', '40 mm left, 8 mm down'],
])('%j of the middle', (atMm, back, front) => {
  const cell = { ...exampleResult().cells[0]!, atMm };
  const said = (from: 'back' | 'front') => placeFromMiddle(cell, from).replaceAll('\u00a0', ' ');
  expect(said('back')).toBe(back);
  expect(said('front')).toBe(front);
});
