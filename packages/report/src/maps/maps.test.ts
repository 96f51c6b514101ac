import { describe, expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { acceptanceMap } from './acceptance-map.js';
import { cellMap } from './cell-map.js';
import { crosstalkMap } from './crosstalk-map.js';
import { kernelTable } from './kernel-table.js';
import { niceAbove, pointingMap } from './pointing-map.js';
import { transmissionMap } from './transmission-map.js';

const result = exampleResult();
const without = {
  ...result,
  cells: result.cells.map((cell) => ({ ...cell, pointing: null, crosstalk: null })),
};

test('maps hold the figures of the result, cell by cell', () => {
  const [light, aim, width, leak] = [
    transmissionMap(result),
    pointingMap(result)!.map,
    acceptanceMap(result)!,
    crosstalkMap(result)!,
  ];
  result.cells.forEach((cell, i) => {
    expect(light.cells[i]).toMatchObject({
      cell: cell.cell,
      value: cell.transmission.relative,
    });
    expect(aim.cells[i]!.value).toBe(cell.pointing?.errorDeg ?? null);
    expect(width.cells[i]!.value).toBe(cell.pointing?.acceptanceWidthDeg ?? null);
    expect(leak.cells[i]!.value).toBe(cell.crosstalk?.total ?? null);
  });
});

test('what was not measured has no map', () => {
  expect([pointingMap(without), acceptanceMap(without), crosstalkMap(without)]).toEqual([null, null, null]);
});

test('every cell has a dot and every fault a mark', () => {
  const { markup } = cellMap(transmissionMap(result));
  const measured = markup.split('class="rim"')[1]!;
  expect(measured.match(/h0/g)).toHaveLength(2 * result.cells.length); // the rim's and the value's
  expect(markup.match(/<use href="#mark-/g)).toHaveLength(
    result.cells.filter(({ fault }) => fault !== 'none').length,
  );
});

describe('pointingMap', () => {
  test('an arrow leads where the tube looks aside: right and down in the example', () => {
    const bent = pointingMap(result)!.errors.find(({ cell }) => cell === 8 * result.array.columns + 25)!;
    // The example puts it 0.8 across and −0.6 up of 2.3°, with 0.05° of scatter.
    expect(bent.towards!.x).toBeCloseTo(0.8, 1);
    expect(bent.towards!.y).toBeCloseTo(0.6, 1);
  });

  test('the longest arrow keeps within four pitches', () => {
    const { errors, degPerPitch } = pointingMap(result)!;
    expect(Math.max(...errors.map(({ errorDeg }) => errorDeg)) / degPerPitch).toBeLessThanOrEqual(4);
  });
});

test.each([
  [0.21, 0.5],
  [0.5, 0.5],
  [3, 5],
  [0.0011, 0.002],
])('nice number at or above %d is %d', (value, nice) => {
  expect(niceAbove(value)).toBeCloseTo(nice, 12);
});

test('the kernel shows its shares in percent, and the lit tube as such', () => {
  const { markup } = kernelTable(result.crosstalk!);
  expect(markup.match(/<td/g)).toHaveLength(25);
  expect(markup).toContain('>0.21</td>');
  expect(markup.match(/lit tube/g)!.length).toBeGreaterThan(0);
  expect(markup).not.toContain('98.75');
});
