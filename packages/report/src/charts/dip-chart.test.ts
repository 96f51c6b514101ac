import { describe, expect, test } from 'vitest';
import { exampleEvidence, exampleResult } from '../../../words/src/example/example-result.js';
import { dipChart } from './dip-chart.js';

const result = exampleResult();
const evidence = exampleEvidence('data:,');

interface Line {
  readonly type: string;
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
}

function shapesOf(chart: ReturnType<typeof dipChart>): Line[] {
  return chart.layout.shapes as Line[];
}

describe('dipChart', () => {
  test('its points are the pair shots, with their uncertainty', () => {
    const points = dipChart(result, evidence).data.filter(({ mode }) => mode === 'markers');
    const drawn = points.flatMap(({ x, y, error_y, customdata }) =>
      x.map((distanceM, i) => ({
        distanceM,
        dip: y[i],
        dipUncertainty: (error_y as { array: number[] }).array[i],
        photo: (customdata as string[])[i],
      })),
    );
    const expected = result.pairs.map(({ distanceM, dip, dipUncertainty, photo }) => ({
      distanceM,
      dip,
      dipUncertainty,
      photo,
    }));
    expect(drawn).toHaveLength(expected.length);
    expect(drawn).toEqual(expect.arrayContaining(expected));
  });

  test('separate and not separate differ by their symbol, not by colour alone', () => {
    const symbols = dipChart(result, evidence).data.flatMap(
      ({ marker }) => (marker as { symbol?: string })?.symbol ?? [],
    );
    expect(new Set(symbols).size).toBe(symbols.length);
  });

  test('fit and band are those of the evidence', () => {
    const { data } = dipChart(result, evidence);
    const curve = evidence.dipCurve!;
    expect(data.filter(({ mode }) => mode === 'lines').map(({ x, y }) => [x, y])).toEqual([
      [curve.distanceM, curve.lowDip],
      [curve.distanceM, curve.highDip],
      [curve.distanceM, curve.dip],
    ]);
  });

  test('criterion, crossing, its interval and the prediction stand where the result has them', () => {
    const { distanceM, lowM, highM, requiredDip, predictedDistanceM } = result.resolving!;
    const shapes = shapesOf(dipChart(result, evidence));
    expect(shapes.some(({ type, y0 }) => type === 'line' && y0 === requiredDip)).toBe(true);
    expect(shapes.find(({ type }) => type === 'rect')).toMatchObject({ x0: lowM, x1: highM });
    expect(shapes.some(({ x0, x1 }) => x0 === distanceM && x1 === distanceM)).toBe(true);
    expect(shapes.some(({ x0, x1 }) => x0 === predictedDistanceM && x1 === predictedDistanceM)).toBe(true);
  });

  test.each([
    ['nearer', 0.8, 'left', 'right'],
    ['farther', 1.25, 'right', 'left'],
  ])(
    'predicted %s than measured: no label stands between the two lines',
    (_, factor, predicted, measured) => {
      const { distanceM } = result.resolving!;
      // The side of a label's line is opposite to the label's anchored end.
      const resolving = { ...result.resolving!, predictedDistanceM: factor * distanceM };
      const labels = dipChart({ ...result, resolving }, null).layout.annotations as {
        text: string;
        xanchor: string;
      }[];
      const side = (word: string) =>
        labels.find(({ text }) => text.includes(word))!.xanchor === 'left' ? 'right' : 'left';
      expect([side('predicted'), side('measured')]).toEqual([predicted, measured]);
    },
  );

  test.each(['beyond', 'nearer'] as const)('%s: a bound is no crossing, so none is drawn', (bound) => {
    const resolving = { ...result.resolving!, bound, predictedDistanceM: null };
    const shapes = shapesOf(dipChart({ ...result, resolving }, null));
    expect(shapes).toHaveLength(1);
  });

  test('a photo’s name is text, not markup', () => {
    const pairs = [{ ...result.pairs[0]!, photo: '<b>x</b>.jpg' }];
    expect(dipChart({ ...result, pairs }, null).data[0]!.text).toEqual([
      expect.stringMatching(/^&lt;b&gt;x&lt;\/b&gt;\.jpg<br>/),
    ]);
  });
});
