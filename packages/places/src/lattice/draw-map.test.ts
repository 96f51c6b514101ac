import { seededRandom } from '@twolamp/optics';
import { InputError } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { drawCells, hexagonalArray, testArray } from '../fixtures/draw-cells.js';
import { drawMap } from './draw-map.js';

const noise = { electrons: 8000, read: 0.002, random: seededRandom(1) };

/** Drawn with a ragged last row and a dark place at row 5, column 6. */
const isDark = (row: number, column: number) => (row === 12 && column > 7) || (row === 5 && column === 6);
const MAP = Array.from({ length: 12 }, (_, r) =>
  Array.from({ length: 15 }, (_, c) => (!isDark(r + 1, c + 1) ? '#' : r === 11 ? '.' : 'o')).join(''),
);

describe('drawMap', () => {
  test.each([
    ['square', testArray(12, 15), null],
    ['hexagonal, odd rows shifted', hexagonalArray(12, 15, 'odd'), 'odd'],
    ['hexagonal, even rows shifted', hexagonalArray(12, 15, 'even'), 'even'],
  ] as const)('%s: nothing is asked, and the map is what was drawn', (_, array, shiftedRows) => {
    const light = (row: number, column: number) => (isDark(row, column) ? 0 : 0.5);
    const { photo } = drawCells({ array, pitchPx: 16, tiltDeg: 4, turnDeg: 2, light, noise });
    const drawn = drawMap(photo, 'even.png');
    expect(drawn).toEqual({ arrangement: array.arrangement, shiftedRows, tubes: 180 - 9, map: MAP });
  });

  test('a photo without a lattice is refused', () => {
    const light = new Float32Array(300 * 200).fill(0.2);
    const photo = {
      width: 300,
      height: 200,
      light,
      clipped: new Uint8Array(light.length),
      exposureS: null,
      iso: null,
      aperture: null,
    };
    expect(() => drawMap(photo, 'even.png')).toThrow(InputError);
  });
});
