import { type Random, seededRandom } from '@twolamp/optics';
import { type ArraySpec, cellPlace, finding, type SingleShot } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import type { LitShot } from '@twolamp/flux';
import { measureCrosstalk, type View } from './measure-crosstalk.js';

const SQUARE: ArraySpec = {
  name: 'square',
  arrangement: 'square',
  rows: 9,
  columns: 11,
  tubeLengthMm: 150,
  tubeBoreMm: 2.6,
  backPitchMm: 3,
  frontPitchMm: 4.2,
};
const HEXAGONAL: ArraySpec = { ...SQUARE, name: 'hexagonal', arrangement: 'hexagonal', shiftedRows: 'even' };
const LIGHT = 10_000;

const PITCH_PX = 15;

/** Cells on a photo taken square on, the brightness of spots changing by so much a pixel to the right. */
function view(array: ArraySpec, slope: number): View {
  const cells = array.rows * array.columns;
  return {
    x: Float64Array.from({ length: cells }, (_, k) => PITCH_PX * (k % array.columns)),
    y: Float64Array.from({ length: cells }, (_, k) => PITCH_PX * Math.floor(k / array.columns)),
    shade: Float64Array.from({ length: 2 * cells }, (_, at) => (at % 2 === 0 ? slope : 0)),
  };
}

const squareOn = (array: ArraySpec): View => view(array, 0);

/**
 * One tube lit alone: given shares of its light come out of given cells, the rest of its own. Half of the variance of the cells around
 * it is common to them, as where a photo's noise moves the wings that lie under all of them.
 */
function single(
  array: ArraySpec,
  row: number,
  column: number,
  shares: readonly (readonly [row: number, column: number, share: number])[],
  random: Random,
  floor = 5,
): LitShot<SingleShot> {
  const index = (r: number, c: number) => (r - 1) * array.columns + c - 1;
  const flux = new Float64Array(array.rows * array.columns);
  flux[index(row, column)] = LIGHT * (1 - shares.reduce((sum, [, , share]) => sum + share, 0));
  for (const [r, c, share] of shares) flux[index(r, c)] += LIGHT * share;
  const sigma = flux.map((light) => Math.hypot(0.01 * light, floor));
  const wings = random.normal();
  const isNear = (k: number) =>
    Math.abs(Math.floor(k / array.columns) + 1 - row) <= 1 && Math.abs((k % array.columns) + 1 - column) <= 1;
  const errorOf = (k: number) => (isNear(k) ? Math.SQRT1_2 * (wings + random.normal()) : random.normal());
  return {
    shot: { photo: `single-${row}-${column}.png`, stated: {}, kind: 'single', row, column },
    light: {
      flux: flux.map((light, k) => light + sigma[k] * errorOf(k)),
      sigma,
      clipped: new Uint8Array(flux.length),
    },
  };
}

/** The four nearest neighbours in a square array get equal shares. */
function even(row: number, column: number, each: number): [number, number, number][] {
  return [
    [row, column - 1, each],
    [row, column + 1, each],
    [row - 1, column, each],
    [row + 1, column, each],
  ];
}

const PLACES = [3, 5, 7].flatMap((row) => [3, 5, 7, 9].map((column) => [row, column] as const));

describe('measureCrosstalk', () => {
  test.each([0, 0.005, 0.02])('four neighbours that get %f each', (each) => {
    const random = seededRandom(4);
    // A cell's light is told to 0.0003 of the lit one's: noisier than four of five photos of the accuracy bench.
    const shots = PLACES.map(([row, column]) =>
      single(SQUARE, row, column, even(row, column, each), random, 3),
    );
    const { tubes, summary, findings } = measureCrosstalk(SQUARE, squareOn(SQUARE), shots);
    expect(findings).toEqual([]);
    expect(tubes.length).toBe(PLACES.length);
    const errors = tubes.map((tube) => tube.total - 4 * each);
    // The bench's goal for a total: ±0.003, one standard deviation.
    const rms = Math.hypot(...errors) / Math.sqrt(errors.length);
    expect(rms).toBeLessThan(0.003);
    expect(Math.abs(summary!.meanTotal - 4 * each)).toBeLessThan(0.003);
    expect(summary!.tubesTested).toBe(PLACES.length);
    // Sigma is what the totals really scatter by: 12 values tell it within a factor 1.7 (χ², 99.8 %).
    expect(rms / tubes[0].sigma).toBeGreaterThan(0.4);
    expect(rms / tubes[0].sigma).toBeLessThan(1.7);
    expect(tubes.filter((tube) => tube.leaky)).toEqual([]);
  });

  test('totals are held by their intervals, what noise does to the wings under all near cells included', () => {
    const random = seededRandom(10);
    const pulls = Array.from({ length: 10 }, () => {
      const shots = PLACES.map(([row, column]) =>
        single(SQUARE, row, column, even(row, column, 0.005), random, 10),
      );
      return measureCrosstalk(SQUARE, squareOn(SQUARE), shots).tubes.map(
        ({ total, sigma }) => (total - 0.02) / sigma,
      );
    }).flat();
    // 120 values; 95 % are held, give or take 2 %.
    const held = pulls.filter((pull) => Math.abs(pull) < 1.96).length / pulls.length;
    expect(held).toBeGreaterThan(0.89);
    expect(held).toBeLessThan(1);
  });

  test('a tube that leaks to one neighbour is found, with that neighbour and its share', () => {
    const random = seededRandom(5);
    const shots = PLACES.map(([row, column]) => {
      const shares = even(row, column, 0.005);
      if (row === 5 && column === 7) shares[1] = [5, 8, 0.06];
      return single(SQUARE, row, column, shares, random);
    });
    const { tubes, leaks } = measureCrosstalk(SQUARE, squareOn(SQUARE), shots);
    const lit = 4 * SQUARE.columns + 6;
    expect(tubes.filter((tube) => tube.leaky).map((tube) => tube.cell)).toEqual([lit]);
    expect(leaks[lit]).toMatchObject({ leaky: true, worst: { cell: lit + 1 } });
    expect(Math.abs(leaks[lit]!.worst!.share - 0.06)).toBeLessThan(0.003);
    expect(Math.abs(leaks[lit]!.total - 0.075)).toBeLessThan(0.006);
    expect(leaks.filter((leak) => leak !== null).length).toBe(PLACES.length);
  });

  test.each([
    { name: 'square', array: SQUARE, row: 5, offset: [-1, 2], neighbour: [4, 7] },
    { name: 'square, below', array: SQUARE, row: 5, offset: [2, -1], neighbour: [7, 4] },
    // Even rows sit half a pitch to the right: from an odd row, the upper right neighbour has the same column …
    { name: 'hexagonal, odd row', array: HEXAGONAL, row: 5, offset: [-1, 1], neighbour: [4, 5] },
    // … and from an even row the next.
    { name: 'hexagonal, even row', array: HEXAGONAL, row: 4, offset: [-1, 1], neighbour: [3, 6] },
    {
      name: 'hexagonal, upper left of an odd row',
      array: HEXAGONAL,
      row: 5,
      offset: [-1, 0],
      neighbour: [4, 4],
    },
    {
      name: 'hexagonal, upper left of an even row',
      array: HEXAGONAL,
      row: 4,
      offset: [-1, 0],
      neighbour: [3, 5],
    },
  ])('kernel of $name: offset $offset', ({ array, row, offset, neighbour }) => {
    const random = seededRandom(6);
    const shot = single(array, row, 5, [[neighbour[0], neighbour[1], 0.04]], random);
    const kernel = measureCrosstalk(array, squareOn(array), [shot]).summary!.kernel;
    kernel.forEach((line, r) => {
      line.forEach((share, c) => {
        const due = r - 2 === offset[0] && c - 2 === offset[1] ? 0.04 : 0;
        expect(Math.abs(share - due)).toBeLessThan(0.003);
      });
    });
  });

  test('a lens that falls off to one side changes no share', () => {
    const random = seededRandom(9);
    // A tenth less a pitch to the right: neighbours on the right look as much dimmer.
    const slope = Math.log(0.9) / PITCH_PX;
    const seen = ([row, column, share]: [number, number, number]): [number, number, number] => [
      row,
      column,
      share * 0.9 ** (column - 5),
    ];
    const sent: [number, number, number][] = [
      [5, 6, 0.15],
      [5, 4, 0.05],
    ];
    const shot = single(SQUARE, 5, 5, sent.map(seen), random, 0);
    // What the lit tube itself sends is left as it is.
    shot.light.flux[4 * SQUARE.columns + 4] = LIGHT * 0.8;
    const { tubes } = measureCrosstalk(SQUARE, view(SQUARE, slope), [shot]);
    expect(Math.abs(tubes[0].total - 0.2)).toBeLessThan(0.004);
    expect(Math.abs(tubes[0].worst!.share - 0.15)).toBeLessThan(0.004);
  });

  test('repeats of one tube count as one', () => {
    const random = seededRandom(7);
    const shots = [1, 2, 3].map(() => single(SQUARE, 4, 4, even(4, 4, 0.01), random));
    const { tubes, summary } = measureCrosstalk(SQUARE, squareOn(SQUARE), shots);
    expect(tubes.length).toBe(1);
    expect(summary!.tubesTested).toBe(1);
    expect(Math.abs(tubes[0].total - 0.04)).toBeLessThan(0.01);
  });

  test('another tube is lit than stated: a finding, no figures', () => {
    const random = seededRandom(8);
    const right = single(SQUARE, 4, 4, even(4, 4, 0.01), random);
    const wrong = {
      ...single(SQUARE, 6, 6, even(6, 6, 0.01), random),
      shot: { ...right.shot, photo: 'wrong.png', row: 6, column: 7 },
    };
    const { tubes, leaks, findings } = measureCrosstalk(SQUARE, squareOn(SQUARE), [right, wrong]);
    expect(tubes.map((tube) => tube.cell)).toEqual([3 * SQUARE.columns + 3]);
    expect(leaks[5 * SQUARE.columns + 6]).toBeNull();
    const tube = cellPlace(SQUARE, 5 * SQUARE.columns + 6);
    const unlit = finding('single-not-lit', 'crosstalk', { photo: 'wrong.png', tube });
    expect(findings).toEqual([unlit]);
    const none = measureCrosstalk(SQUARE, squareOn(SQUARE), [wrong]);
    expect(none.summary).toBeNull();
    expect(none.findings).toEqual([unlit]);
  });

  test('no single shots: a finding', () => {
    const { tubes, summary, findings } = measureCrosstalk(SQUARE, squareOn(SQUARE), []);
    expect(tubes).toEqual([]);
    expect(summary).toBeNull();
    expect(findings).toEqual([finding('no-single', 'crosstalk', {})]);
  });
});
