import { inflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { drawingPdf } from './pdf.js';
import { pullMap } from './pull-map.js';
import { tilesFor } from './tiles.js';

const result = exampleResult();
const POINTS_PER_MM = 72 / 25.4; // PDF 1.7 (ISO 32000-1), 8.3.2.3: the unit is 1/72 inch

function pageBoxes(pdf: string): number[][] {
  return [...pdf.matchAll(/\/MediaBox \[([\d. ]+)\]/g)].map(([, box]) => box!.split(' ').map(Number));
}

/** The drawing operators of the pages, as text. */
function contents(bytes: Uint8Array): string {
  const pdf = Buffer.from(bytes).toString('latin1');
  return [...pdf.matchAll(/FlateDecode\n>>\nstream\n([\s\S]*?)\nendstream/g)]
    .map(([, stream]) => inflateSync(Buffer.from(stream!, 'latin1')).toString('latin1'))
    .join('\n');
}

describe('drawingPdf', () => {
  test('is one upright A4 page for a small array', async () => {
    const bytes = await drawingPdf(pullMap(result, 'back'));
    const pdf = Buffer.from(bytes).toString('latin1');
    expect(pdf.startsWith('%PDF-')).toBe(true);
    const [box, ...more] = pageBoxes(pdf);
    expect(more).toEqual([]);
    expect(box![2]).toBeCloseTo(210 * POINTS_PER_MM, 1);
    expect(box![3]).toBeCloseTo(297 * POINTS_PER_MM, 1);
  });

  test('its ruler is 100 mm long once its scale is applied', async () => {
    const operators = contents(await drawingPdf(pullMap(result, 'back')));
    const [, scale] = /([\d.]+) 0 0 \1 0 0 cm/.exec(operators)!;
    const lines = [...operators.matchAll(/([\d.]+) [\d.]+ m\n([\d.]+) [\d.]+ l/g)].map(
      ([, x0, x1]) => Number(x1) - Number(x0),
    );
    expect(Math.max(...lines) * Number(scale)).toBeCloseTo(100 * POINTS_PER_MM, 2);
  });

  test('a large array takes several pages, each of A4', async () => {
    const large = { ...result, array: { ...result.array, frontPitchMm: 9 } };
    const boxes = pageBoxes(Buffer.from(await drawingPdf(pullMap(large, 'front'))).toString('latin1'));
    expect(boxes.length).toBeGreaterThan(1);
    for (const box of boxes) {
      const sides = [box[2]! / POINTS_PER_MM, box[3]! / POINTS_PER_MM].sort((a, b) => a - b);
      expect(sides[0]).toBeCloseTo(210, 1);
      expect(sides[1]).toBeCloseTo(297, 1);
    }
  });

  test('a page holds what falls on it and no more', async () => {
    // Two upright pages side by side, 190 mm wide, 10 mm of them shared: at 100, 185 and 300 mm.
    const dot = (xMm: number) => ({ kind: 'circle', at: [xMm, 100], radiusMm: 1, filled: true }) as const;
    const drawing = { title: '', widthMm: 370, heightMm: 277, shapes: [100, 185, 300].map(dot) };
    const operators = contents(await drawingPdf(drawing));
    const curves = operators.match(/ c$/gm) ?? [];
    expect(curves).toHaveLength(4 * (2 + 2)); // four curves a circle
  });

  test('crosses and a word on laying pages together stand on those that are laid together only', async () => {
    const dot = { kind: 'circle', at: [50, 50], radiusMm: 1, filled: true } as const;
    const of = async (widthMm: number) =>
      contents(await drawingPdf({ title: '', widthMm, heightMm: 277, shapes: [dot] }));
    const [one, two] = [await of(190), await of(370)];
    expect([one.match(/ l$/gm), one.match(/TJ$/gm)]).toEqual([null, null]);
    // Two pages, four crosses of two lines each, and a line of text.
    expect([two.match(/ l$/gm)?.length, two.match(/TJ$/gm)?.length]).toEqual([16, 2]);
  });

  test('a name in letters that the built-in fonts lack is no error', async () => {
    const named = { ...result, array: { ...result.array, name: '井戸 ☀ "x"' } };
    await expect(drawingPdf(pullMap(named, 'back'))).resolves.toBeInstanceOf(Uint8Array);
  });
});

describe('tilesFor', () => {
  test.each([
    [190, 277, 1],
    [191, 277, 2],
    [277, 190, 1],
    [370, 277, 2],
    [900, 600, 15], // upright ⌈890/180⌉ × ⌈590/267⌉ = 5 × 3, lying 4 × 4
  ])('%d × %d mm takes %i pages', (widthMm, heightMm, pages) => {
    expect(tilesFor(widthMm, heightMm).tiles).toHaveLength(pages);
  });

  test.each([
    [500, 700],
    [1000, 300],
  ])('every part of %d × %d mm is on a page, and neighbours share 10 mm', (widthMm, heightMm) => {
    const { tiles, pageWidthMm, pageHeightMm, rows, columns } = tilesFor(widthMm, heightMm);
    const [wide, high] = [pageWidthMm - 20, pageHeightMm - 20];
    const last = tiles.at(-1)!;
    expect(last.leftMm + wide).toBeGreaterThanOrEqual(widthMm);
    expect(last.topMm + high).toBeGreaterThanOrEqual(heightMm);
    if (columns > 1) expect(tiles[1]!.leftMm).toBeCloseTo(wide - 10, 9);
    if (rows > 1) expect(tiles[columns]!.topMm).toBeCloseTo(high - 10, 9);
  });
});
