import { describe, expect, test } from 'vitest';
import { SMALL_ARRAY } from './fixtures/results.js';
import { drawSpots } from './draw-spots.js';

const { rows, columns } = SMALL_ARRAY;
const dark = () => new Float64Array(rows * columns);

describe('drawSpots', () => {
  test('one white tube is one disc of its bore in its place, seen from the back', () => {
    // Row 2 from the top, column 13 of 14 from the left.
    const { positive } = drawSpots(SMALL_ARRAY, dark().with(columns + 12, 1));
    const pitch = positive.width / columns;
    expect(positive.height).toBe(pitch * rows);
    let sum = 0;
    let x = 0;
    let y = 0;
    positive.grey.forEach((grey, i) => {
      sum += grey / 255;
      x += (grey / 255) * (i % positive.width);
      y += (grey / 255) * Math.floor(i / positive.width);
    });
    // Area of a disc 2.5 mm wide on a pitch of 3 mm; edges are drawn to a few per cent.
    expect(sum / ((Math.PI / 4) * (pitch * (2.5 / 3)) ** 2)).toBeCloseTo(1, 1);
    expect(x / sum).toBeCloseTo(12.5 * pitch - 0.5, 3);
    expect(y / sum).toBeCloseTo(1.5 * pitch - 0.5, 3);
  });

  test('hexagonal rows are shifted and closer together', () => {
    const array = { ...SMALL_ARRAY, arrangement: 'hexagonal' as const, shiftedRows: 'even' as const };
    const { positive } = drawSpots(array, dark().fill(1));
    const pitch = positive.width / (columns + 0.5);
    expect(positive.height).toBe(Math.round((11 * Math.sqrt(0.75) + 1) * pitch));
    const greyAt = (x: number, y: number) =>
      positive.grey[Math.round(y * pitch) * positive.width + Math.round(x * pitch)];
    expect(greyAt(0.5, 0.5)).toBe(255);
    expect(greyAt(0.1, 0.5 + Math.sqrt(0.75))).toBe(0);
    expect(greyAt(1, 0.5 + Math.sqrt(0.75))).toBe(255);
  });

  test('the negative is white where no light falls, and the tones turned over', () => {
    const { positive, negative } = drawSpots(SMALL_ARRAY, dark().fill(0.6));
    const middle = Math.floor(positive.height / rows / 2) * (positive.width + 1);
    expect([positive.grey[0], negative.grey[0]]).toEqual([0, 255]);
    expect([positive.grey[middle], negative.grey[middle]]).toEqual([153, 102]);
  });

  test('an array of thousands of tubes stays a picture of a screen’s size', () => {
    const big = { ...SMALL_ARRAY, rows: 150, columns: 200 };
    const { positive } = drawSpots(big, new Float64Array(30_000).fill(1));
    expect(positive.width).toBe(1600);
    expect(positive.height).toBe(1200);
  });
});
