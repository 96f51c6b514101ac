import { describe, expect, test } from 'vitest';
import { type BenchPlace, benchView } from './bench-view.js';

const pair: BenchPlace = { acrossMm: 0, upMm: 0, distanceMm: 2000, spacingMm: 400 };
const lamp: BenchPlace = { acrossMm: 300, upMm: 500, distanceMm: 1000, spacingMm: null };

/** Middles of the lamps, and of the origin, in the order drawn. */
function dots(places: readonly BenchPlace[]) {
  const { shapes } = benchView({ title: 'Bench', tubeLengthMm: 150, places });
  return shapes.flatMap((shape) => (shape.kind === 'circle' ? [shape.at] : []));
}

describe('benchView', () => {
  const [originAbove, left, right, single, originSide, , raised] = dots([pair, lamp]);
  const scale = (single![0] - originAbove![0]) / 1000;
  const aside = (single![1] - originAbove![1]) / 300;

  test('distances are to scale, to the right of the origin', () => {
    expect(left![0] - originAbove![0]).toBeCloseTo(2000 * scale, 9);
    expect(raised![0] - originSide![0]).toBeCloseTo(1000 * scale, 9);
  });

  test('from above, with the camera at the left, what is right of the normal lies below it', () => {
    expect(aside).toBeGreaterThan(0);
    expect(right![1] - left![1]).toBeCloseTo(400 * aside, 9);
  });

  test('from the side, what is up lies above', () => {
    expect(originSide![1] - raised![1]).toBeCloseTo(500 * aside, 9);
  });

  test('what stands beside the lamps says where they are, once a place, and the distances do not touch', () => {
    const near = { ...lamp, distanceMm: 1090 };
    const { shapes } = benchView({ title: 'Bench', tubeLengthMm: 150, places: [pair, lamp, near] });
    const texts = shapes.flatMap((shape) => (shape.kind === 'text' ? [shape] : []));
    const plain = texts.map((shape) => shape.text.replaceAll('\u00a0', ' '));
    for (const said of ['300', 'mm right', '500 mm up', '400 mm apart']) {
      expect(plain.filter((one) => one === said)).toHaveLength(1);
    }
    expect(plain).toEqual(expect.arrayContaining(['1', '2']));
    const [first, second] = ['1 m', '1.09 m'].map((one) => texts[plain.indexOf(one)]!.at);
    expect(second![1] - first![1]).toBeGreaterThan(2);
  });

  test('the camera sees what is right at the right, and what is up above, to one scale and numbered as shot', () => {
    const low = { ...lamp, acrossMm: -100, upMm: -250 };
    const seen = dots([lamp, pair, low]).slice(-2);
    const ratio = (seen[0]![0] - seen[1]![0]) / (seen[1]![1] - seen[0]![1]);
    expect(ratio).toBeCloseTo(400 / 750, 9);
    const { shapes } = benchView({ title: 'Bench', tubeLengthMm: 150, places: [lamp, pair, low] });
    const beside = seen.map(([x, y]) =>
      shapes.flatMap((shape) =>
        shape.kind === 'text' && Math.hypot(shape.at[0] - x, shape.at[1] - y) < 3 ? [shape.text] : [],
      ),
    );
    expect(beside).toEqual([['1'], ['2']]);
  });

  test('all of it lies on the paper', () => {
    const { shapes, widthMm, heightMm } = benchView({
      title: 'Bench',
      tubeLengthMm: 150,
      places: [pair, lamp],
    });
    for (const shape of shapes) {
      for (const [x, y] of shape.kind === 'line' ? shape.points : [shape.at]) {
        expect(x).toBeGreaterThan(0);
        expect(x).toBeLessThan(widthMm);
        expect(y).toBeGreaterThan(0);
        expect(y).toBeLessThan(heightMm);
      }
    }
  });
});
