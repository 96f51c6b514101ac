import { expect, test } from 'vitest';
import { exampleResult } from '../../../words/src/example/example-result.js';
import { cameraView } from './camera-view.js';

const { array } = exampleResult();
const drawing = cameraView(array);

test('every tube lies inside the sheet, and the sheet inside the picture', () => {
  const tubes = drawing.shapes.flatMap((shape) => (shape.kind === 'circle' ? [shape] : []));
  expect(tubes).toHaveLength(array.rows * array.columns);
  const frames = drawing.shapes
    .flatMap((shape) => (shape.kind === 'line' && shape.points.length === 5 ? [shape.points] : []))
    .map((points) => ({
      left: Math.min(...points.map(([x]) => x)),
      right: Math.max(...points.map(([x]) => x)),
      top: Math.min(...points.map(([, y]) => y)),
      bottom: Math.max(...points.map(([, y]) => y)),
    }));
  const [picture, sheet] = frames.slice(-2);
  expect(sheet!.left).toBeGreaterThan(picture!.left);
  expect(sheet!.right).toBeLessThan(picture!.right);
  expect(sheet!.top).toBeGreaterThan(picture!.top);
  expect(sheet!.bottom).toBeLessThan(picture!.bottom);
  for (const { at, radiusMm } of tubes) {
    expect(at[0] - radiusMm).toBeGreaterThan(sheet!.left);
    expect(at[0] + radiusMm).toBeLessThan(sheet!.right);
    expect(at[1] - radiusMm).toBeGreaterThan(sheet!.top);
    expect(at[1] + radiusMm).toBeLessThan(sheet!.bottom);
  }
});

test('row 1, column 1 is at the top left', () => {
  const texts = drawing.shapes.flatMap((shape) => (shape.kind === 'text' ? [shape] : []));
  const at = (text: string) => texts.filter((one) => one.text === text).map((one) => one.at);
  const [column1, row1] = at('1');
  const [column30] = at('30');
  const [row24] = at('24');
  expect(column1![0]).toBeLessThan(column30![0]);
  expect(row1![1]).toBeLessThan(row24![1]);
});
