import { expect, test } from 'vitest';
import { CAUTIONS } from '@twolamp/words';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { benchPage } from './bench-page.js';
import type { Drawing, Shape } from './drawing.js';
import { drawingPdf } from './pdf.js';

const result = exampleResult();
const page = benchPage(result, EXAMPLE_SOURCE);
const texts = ({ shapes }: Drawing) => shapes.flatMap((shape) => (shape.kind === 'text' ? shape.text : []));
const filled = ({ shapes }: Drawing) =>
  shapes.filter(
    (shape): shape is Extract<Shape, { kind: 'circle' }> => shape.kind === 'circle' && shape.filled,
  );

test('is one page, with the cautions, the date and the files', async () => {
  const pdf = Buffer.from(await drawingPdf(page)).toString('latin1');
  expect(pdf.match(/\/MediaBox/g)).toHaveLength(1);
  const said = texts(page);
  for (const caution of CAUTIONS) expect(said.join(' ')).toContain(caution);
  expect(said.join(' ')).toContain(EXAMPLE_SOURCE.files[0]);
  expect(said.join(' ')).toMatch(/Written on \d+ \w+ \d{4} from/);
});

test('every tube of the list is filled on both maps, mirrored, and named by both columns', () => {
  const marks = filled(page);
  const each = result.pull.length;
  expect(marks).toHaveLength(2 * each);
  const [back, front] = [marks.slice(0, each), marks.slice(each)];
  const middle = (found: typeof marks) => (found[0]!.at[0] + found[1]!.at[0]) / 2;
  const between = (found: typeof marks) => found[1]!.at[0] - found[0]!.at[0];
  expect(between(front)).toBeCloseTo(-between(back), 9);
  expect(middle(front)).toBeGreaterThan(middle(back));
  const said = texts(page);
  const { row, column } = result.pull[0]!;
  const at = said.lastIndexOf('column: front');
  expect(said.slice(at + 3, at + 7)).toEqual(['1', String(row), String(column), String(31 - column!)]);
});

test('the move sentence is told as seen from the front', () => {
  const cured = result.cells.find(({ cureShiftMm }) => cureShiftMm !== null)!;
  const side = cured.cureShiftMm!.across > 0 ? 'left' : 'right';
  expect(texts(page).some((one) => one.startsWith('Move its front end') && one.includes(side))).toBe(true);
});

test('a list that is too long for the page says how many are left out', () => {
  const long = result.cells.slice(0, 60).map(({ cell, row, column }) => ({
    ...result.pull[0]!,
    cell,
    row,
    column,
  }));
  const many = benchPage({ ...result, pull: long }, EXAMPLE_SOURCE);
  const shown = filled(many).length / 2;
  expect(shown).toBeGreaterThan(10);
  expect(texts(many).join(' ')).toContain(`${60 - shown} more tubes`);
  for (const shape of many.shapes) {
    const points = shape.kind === 'line' ? shape.points : [shape.at];
    for (const [, y] of points) expect(y).toBeLessThanOrEqual(many.heightMm);
  }
});
