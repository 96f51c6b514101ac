import { finding } from '@twolamp/session';
import { describe, expect, test } from 'vitest';
import { twoDipsChart } from '../charts/two-dips-chart.js';
import { exampleComparison } from '../../../words/src/example/example-comparison.js';
import { exampleEvidence } from '../../../words/src/example/example-result.js';
import { EXAMPLE_SOURCE } from '../example/example-source.js';
import { comparisonMaps } from '../maps/comparison-maps.js';
import { markTurnDeg } from '../maps/marks.js';
import { comparisonPage } from './comparison-page.js';

const { comparison, earlier, later } = exampleComparison();
const evidence = exampleEvidence('data:,');

describe('comparisonMaps', () => {
  test('both maps share one scale and hold the comparison’s figures', () => {
    const maps = comparisonMaps(comparison, earlier, later);
    expect([maps.earlier.low, maps.earlier.high]).toEqual([maps.later.low, maps.later.high]);
    comparison.tubes.forEach(({ transmission, faultEarlier }, i) => {
      expect(maps.earlier.cells[i]!.value).toBe(transmission!.earlier);
      expect(maps.later.cells[i]!.value).toBe(transmission!.later);
      expect(maps.difference!.cells[i]!.value).toBe(transmission!.change);
      expect(maps.earlier.cells[i]!.fault ?? 'none').toBe(faultEarlier);
    });
  });

  test('the mark of a misaimed tube points where it looks, as in the report', () => {
    const turned = later.cells.filter((cell) => markTurnDeg(cell) !== 0);
    expect(turned.length).toBeGreaterThan(0);
    const { cells } = comparisonMaps(comparison, earlier, later).later;
    for (const one of turned) {
      expect(cells.find(({ cell }) => cell === one.cell)!.turnDeg).toBe(markTurnDeg(one));
    }
  });

  test('no change lies in the middle of the scale of changes', () => {
    const { low, high } = comparisonMaps(comparison, earlier, later).difference!;
    expect(low).toBe(-high);
  });

  test('arrays of different size: each its own map, no difference', () => {
    const maps = comparisonMaps({ ...comparison, tubes: [] }, earlier, later);
    expect(maps.difference).toBeNull();
    expect(maps.later.cells.map(({ value }) => value)).toEqual(
      later.cells.map(({ transmission }) => transmission.relative),
    );
  });
});

test('the chart holds the dips of both sessions, and the fits that are at hand', () => {
  const { data } = twoDipsChart({ result: earlier, evidence }, { result: later, evidence: null });
  const points = data.filter(({ mode }) => mode === 'markers');
  expect(points.map(({ y }) => y)).toEqual([earlier, later].map(({ pairs }) => pairs.map(({ dip }) => dip)));
  expect(data.filter(({ name }) => name === 'earlier, fit').map(({ y }) => y)).toEqual([
    evidence.dipCurve!.dip,
  ]);
});

describe('comparisonPage', () => {
  const measured = [
    { result: earlier, evidence: null },
    { result: later, evidence: null },
  ] as const;

  test('lists the tubes that changed, and no other', () => {
    const page = comparisonPage(comparison, ...measured, EXAMPLE_SOURCE);
    const changed = comparison.tubes.filter(({ verdict }) => verdict !== 'unchanged');
    expect(page.match(/<button type="button" class="tube"/g)).toHaveLength(changed.length);
  });

  test('arrays of different size: no list, and why', () => {
    const findings = [finding('note-v1', 'tubes', { text: 'They differ in size.' })];
    const page = comparisonPage({ ...comparison, tubes: [], findings }, ...measured, EXAMPLE_SOURCE);
    expect(page).not.toContain('class="tube"');
    expect(page).not.toContain('id="panel"');
    expect(page).toContain('<p>They differ in size.</p>');
  });

  test('names and findings are text', () => {
    const nasty = '<script>alert(1)</script>';
    const page = comparisonPage(
      { ...comparison, earlier: nasty, later: nasty, findings: [finding('note-v1', nasty, { text: nasty })] },
      { result: { ...earlier, array: { ...earlier.array, name: nasty } }, evidence: null },
      measured[1],
      EXAMPLE_SOURCE,
    );
    expect(page).not.toContain('<script>alert');
  });
});
