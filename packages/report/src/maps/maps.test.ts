import { describe, expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { acceptanceMap } from './acceptance-map.js';
import { cellMap } from './cell-map.js';
import { colourAt } from './colour-scale.js';
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

describe('the map as drawn', () => {
  const { markup } = cellMap(transmissionMap(result));
  const { rows, columns } = result.array;
  /** A square array's cells are a pitch apart about its middle. */
  const placeOf = (cell: { row: number | null; column: number | null }) => ({
    x: cell.column! - (columns + 1) / 2,
    y: cell.row! - (rows + 1) / 2,
  });

  test('a mark lies on each faulty tube; that of a misaimed one is turned to where it looks', () => {
    const marks = [
      ...markup.matchAll(
        /<use href="#mark-(\w+)" x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)"[^>]*?( transform="[^"]*")?\/>/g,
      ),
    ].map(([, fault, x, y, width, turn]) => ({
      fault,
      x: Number(x) + Number(width) / 2,
      y: Number(y) + Number(width) / 2,
      turn:
        /rotate\(([\d.-]+) ([\d.-]+) ([\d.-]+)\)/
          .exec(turn ?? '')
          ?.slice(1)
          .map(Number) ?? null,
    }));
    const faulty = result.cells.filter(({ fault }) => fault !== 'none');
    expect(marks.map(({ fault, x, y }) => ({ fault, x, y }))).toEqual(
      faulty.map((cell) => ({
        fault: cell.fault,
        x: expect.closeTo(placeOf(cell).x, 3),
        y: expect.closeTo(placeOf(cell).y, 3),
      })),
    );
    faulty.forEach((cell, n) => {
      const { turn } = marks[n]!;
      expect(turn !== null).toBe(cell.fault === 'misaimed');
      if (turn === null) return;
      const [angle, x, y] = turn;
      expect([x, y]).toEqual([placeOf(cell).x, placeOf(cell).y]);
      // The mark's arrow leads right and up before it is turned; clockwise on paper, whose y grows downwards.
      const leads = ((angle! - 45) * Math.PI) / 180;
      const { across, up } = cell.cureShiftMm!;
      const [right, down] = [-across, up].map((part) => part / Math.hypot(across, up));
      expect(Math.cos(leads)).toBeCloseTo(right!, 3);
      expect(Math.sin(leads)).toBeCloseTo(down!, 3);
    });
  });

  test('a line leads from each tube that leaks to the neighbour that gets most', () => {
    const drawn = cellMap(crosstalkMap(result)!).markup;
    const leaks = result.cells.filter(({ crosstalk }) => crosstalk?.worst != null);
    const due = leaks.map((cell) => {
      const [from, to] = [placeOf(cell), placeOf(cell.crosstalk!.worst!)];
      return `M${from.x} ${from.y}L${to.x} ${to.y}`;
    });
    expect(leaks.length).toBeGreaterThan(0);
    expect([...drawn.matchAll(/class="arrow(?: halo)?" d="([^"]*)"/g)].map(([, d]) => d)).toEqual([
      due.join(''),
      due.join(''),
    ]);
  });

  test('each tube has the colour of its light on the scale, brighter for more', () => {
    const { scale, low, high } = transmissionMap(result);
    const colours = new Map(
      [...markup.matchAll(/<path stroke="([^"]+)"[^>]*? d="([^"]+)"/g)].flatMap(([, colour, d]) =>
        [...d!.matchAll(/M([\d.-]+) ([\d.-]+)h0/g)].map(([, x, y]) => [`${x} ${y}`, colour!] as const),
      ),
    );
    for (const cell of result.cells) {
      const { x, y } = placeOf(cell);
      const share = Math.min(1, Math.max(0, (cell.transmission.relative! - low) / (high - low)));
      // 48 steps from end to end.
      expect(colours.get(`${x} ${y}`)).toBe(colourAt(scale, Math.min(47, Math.floor(share * 48)) / 47));
    }
    expect(colours.size).toBe(result.cells.length);
  });
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
