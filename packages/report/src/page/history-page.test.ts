import { EXAMPLE_SOURCE } from '../example/example-result.js';
import { describe, expect, test } from 'vitest';
import { historyChart } from '../charts/history-chart.js';
import { exampleComparison } from '../example/example-comparison.js';
import { historyPage } from './history-page.js';

const { earlier, later } = exampleComparison();
const bounded = { ...later, resolving: { ...later.resolving!, bound: 'beyond' as const } };

describe('historyChart', () => {
  test('holds each result’s distance and interval; a bound has a mark of its own and no interval', () => {
    const [trace] = historyChart([earlier, later, bounded])!.data;
    expect(trace!.y).toEqual([earlier, later, bounded].map(({ resolving }) => resolving!.distanceM));
    const errors = trace!.error_y as { array: number[]; arrayminus: number[] };
    expect(errors.array[0]).toBe(earlier.resolving!.highM! - earlier.resolving!.distanceM);
    expect(errors.array[2]).toBe(0);
    expect((trace!.marker as { symbol: string[] }).symbol).toEqual(['circle', 'circle', 'triangle-up']);
  });

  test('distances for different spacings are not drawn on one axis', () => {
    const wider = { ...later, resolving: { ...later.resolving!, spacingM: 0.1 } };
    expect(historyChart([earlier, wider, later])).toBeNull();
    expect(historyChart([earlier, { ...later, resolving: null }])).toBeNull();
  });
});

test('the page lists every result, and takes names for text', () => {
  const nasty = { ...later, array: { ...later.array, name: '<script>alert(1)</script>' } };
  const page = historyPage([earlier, later, nasty], {
    ...EXAMPLE_SOURCE,
    files: ['a/result.json', 'b/result.json', '<i>/result.json'],
  });
  expect(page.match(/<tr><th scope="row">/g)).toHaveLength(3);
  expect(page).not.toContain('<script>alert');
  expect(page).toContain('went from 13 to 8');
});
