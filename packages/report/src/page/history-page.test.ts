import { tubeLabel } from '@twolamp/words';
import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { describe, expect, test } from 'vitest';
import { historyChart } from '../charts/history-chart.js';
import { exampleComparison } from '../../../words/src/example/example-comparison.js';
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

test('what the maps say beside the pointer, for every tube of every result', () => {
  const page = historyPage([earlier, later, bounded], { ...EXAMPLE_SOURCE, files: ['a', 'b', 'c'] });
  const { maps } = JSON.parse(/<script type="application\/json" id="data">(.*)<\/script>/.exec(page)![1]!);
  expect(maps.map(({ labels }: { labels: unknown[] }) => labels.length)).toEqual(
    [earlier, later, bounded].map(({ cells }) => cells.length),
  );
  expect(maps[1].labels[0]).toEqual({ cell: later.cells[0]!.cell, text: tubeLabel(later.cells[0]!) });
});

test('the page lists every result, and takes names for text', () => {
  const nasty = { ...later, array: { ...later.array, name: '<script>alert(1)</script>' } };
  const page = historyPage([earlier, later, nasty], {
    ...EXAMPLE_SOURCE,
    files: ['a/result.json', 'b/result.json', '<i>/result.json'],
  });
  expect(page.match(/<th scope="row"/g)).toHaveLength(3);
  expect(page).not.toContain('<script>alert');
  expect(page).toContain('went from 13 to 8');
  // Results of one array have one name, so each has its number.
  expect(page).toContain(`>2. ${later.array.name}<`);
});
