import { describe, expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import type { Drawing, Shape } from './drawing.js';
import { pullMap } from './pull-map.js';
import { printableSheet } from './sheet.js';
import { drawingSvg } from './svg.js';
import { tilesFor } from './tiles.js';

const result = exampleResult();
const [back, front] = [pullMap(result, 'back'), pullMap(result, 'front')];

type Circle = Extract<Shape, { kind: 'circle' }>;
type Line = Extract<Shape, { kind: 'line' }>;

const circles = ({ shapes }: Drawing) => shapes.filter((shape): shape is Circle => shape.kind === 'circle');
const filled = (drawing: Drawing) => circles(drawing).filter((circle) => circle.filled);

describe('pullMap', () => {
  test.each([
    ['back', back, 3],
    ['front', front, 4.2],
  ] as const)(
    '%s: neighbouring bores lie a pitch apart, and are as wide as stated',
    (_, drawing, pitchMm) => {
      const bores = circles(drawing).filter(({ radiusMm }) => radiusMm === 1.3);
      expect(bores).toHaveLength(720);
      expect(Math.abs(bores[1]!.at[0] - bores[0]!.at[0])).toBeCloseTo(pitchMm, 9);
      expect(bores[30]!.at[1] - bores[0]!.at[1]).toBeCloseTo(pitchMm, 9);
    },
  );

  test('cells to pull are filled, in number and place', () => {
    expect(filled(back)).toHaveLength(result.pull.length);
    const [x, y] = filled(back)[0]!.at; // row 1, column 1 is the first in reading order
    const least = Math.min(
      ...circles(back)
        .filter(({ radiusMm }) => radiusMm === 1.3)
        .map(({ at }) => at[0]),
    );
    expect(x).toBeCloseTo(least, 9);
    expect(y).toBeCloseTo(filled(back)[0]!.at[1], 9);
  });

  test('the front is the back mirrored left to right, in places and in words', () => {
    const middle = (drawing: Drawing) => drawing.widthMm / 2;
    filled(back).forEach(({ at }, i) => {
      const across = at[0] - middle(back);
      expect(filled(front)[i]!.at[0] - middle(front)).toBeCloseTo((-across * 4.2) / 3, 9);
    });
    const { row, column, fault } = result.pull[0]!;
    const texts = (drawing: Drawing) =>
      drawing.shapes.flatMap((shape) => (shape.kind === 'text' ? shape.text : []));
    const [fromBack, fromFront] = [`column ${column} from the back`, `column ${31 - column!} from the front`];
    expect(texts(back)).toContain(`1: row ${row}, ${fromBack}, ${fromFront}: ${fault}`);
    expect(texts(front)).toContain(`1: row ${row}, ${fromFront}, ${fromBack}: ${fault}`);
  });

  test('the ruler is 100 mm long', () => {
    const strong = back.shapes.filter(
      (shape): shape is Line => shape.kind === 'line' && shape.weight === 'strong',
    );
    expect(strong).toHaveLength(1);
    const [from, to] = strong[0]!.points;
    expect(to![0] - from![0]).toBeCloseTo(100, 12);
    expect(to![1]).toBe(from![1]);
  });
});

test('everything lies on the paper, small arrays and long names too', () => {
  const array = { ...result.array, rows: 2, columns: 2 };
  const sheet = printableSheet({
    array,
    title: 'A name that goes on and on '.repeat(6),
    from: 'back',
    marks: [],
  });
  for (const shape of sheet.shapes) {
    const points = shape.kind === 'line' ? shape.points : [shape.at];
    for (const [x, y] of points) {
      expect(x).toBeGreaterThanOrEqual(0);
      expect(x).toBeLessThanOrEqual(sheet.widthMm);
      expect(y).toBeGreaterThanOrEqual(0);
      expect(y).toBeLessThanOrEqual(sheet.heightMm);
    }
  }
});

test('a long list of tubes to pull keeps to one page with the array, and every tube with what is to be done', () => {
  const lines = Array.from({ length: 46 }, (_, n) =>
    n % 5 === 3
      ? '    Move its front end 1.7 mm to the right'
      : `${n}: row 10, column 8 from the front, weak`,
  );
  const sheet = printableSheet({ array: result.array, title: 'Panel', from: 'front', marks: [], lines });
  expect(tilesFor(sheet.widthMm, sheet.heightMm).tiles).toHaveLength(1);
  const list = sheet.shapes.filter(
    (shape): shape is Extract<Shape, { kind: 'text' }> =>
      shape.kind === 'text' && /row 10|Move/.test(shape.text),
  );
  expect(list).toHaveLength(46);
  const second = list.findIndex(({ at }) => at[0] >= sheet.widthMm / 2);
  expect(second).toBeGreaterThan(20);
  expect(list[second]).not.toMatchObject({ text: expect.stringContaining('Move') });
  for (const { at } of list) expect(at[1]).toBeLessThan(sheet.heightMm);
});

test('hexagonal rows keep their half pitch, mirrored from the front', () => {
  const array = { ...result.array, arrangement: 'hexagonal', shiftedRows: 'even' } as const;
  const at = (from: 'back' | 'front', index: number) =>
    circles(printableSheet({ array, title: '', from, marks: [] })).filter(({ radiusMm }) => radiusMm === 1.3)[
      index
    ]!.at;
  expect(at('back', 30)[0] - at('back', 0)[0]).toBeCloseTo(1.5, 9);
  expect(at('front', 30)[0] - at('front', 0)[0]).toBeCloseTo(-2.1, 9);
  expect(at('back', 30)[1] - at('back', 0)[1]).toBeCloseTo((3 * Math.sqrt(3)) / 2, 9);
});

describe('drawingSvg', () => {
  const svg = drawingSvg(back);

  test('one user unit is one millimetre', () => {
    const [, width, height, box] =
      /^<svg [^>]*width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d. ]+)"/.exec(svg)!;
    expect(box).toBe(`${width} ${height}`);
    expect(Number(width)).toBeCloseTo(back.widthMm, 2);
  });

  test('the ruler’s line is 100 units long', () => {
    const [, x0, x1] =
      /points="([\d.]+),[\d.]+ ([\d.]+),[\d.]+" fill="none" stroke="#000" stroke-width="0.5"/.exec(svg)!;
    expect(Number(x1) - Number(x0)).toBeCloseTo(100, 9);
  });

  test('names are text', () => {
    const named = { ...result, array: { ...result.array, name: '<script>alert(1)</script>' } };
    expect(drawingSvg(pullMap(named, 'back'))).not.toContain('<script');
  });
});
