import { describe, expect, test } from 'vitest';
import { smallPlan } from '../fixtures/small-plan.js';
import { buildTubes } from './tubes.js';

const at = (row: number, column: number) => (row - 1) * 7 + column - 1;

describe('buildTubes', () => {
  test('puts the tubes on the lattice, seen from the back: column 1 left, row 1 on top', () => {
    const tubes = buildTubes(smallPlan());
    // 7 columns 3 mm apart: the first lies 9 mm to the left; 5 rows: the first lies 6 mm above.
    expect(tubes[0].back).toEqual({ acrossMm: -9, upMm: 6 });
    // Front pitch 3.6 mm over 120 mm of length: the corner looks (10.8 − 9)/120 to the left.
    expect(tubes[0].chord.across).toBeCloseTo(-1.8 / 120, 12);
    expect(tubes[0].chord.up).toBeCloseTo(1.2 / 120, 12);
  });

  test('a misaimed tube looks aside by shift ÷ length; its back end stays', () => {
    const plan = smallPlan({
      faults: '{ list: [{ fault: misaimed, row: 2, column: 3, across: 1.2 mm, up: -0.6 mm }] }',
    });
    const tube = buildTubes(plan)[at(2, 3)];
    expect(tube.chord.across - tube.nominalChord.across).toBeCloseTo(0.01, 12);
    expect(tube.chord.up - tube.nominalChord.up).toBeCloseTo(-0.005, 12);
    expect(tube.back).toEqual(buildTubes(smallPlan())[at(2, 3)].back);
  });

  test('a bulge moves the middle of a side by all of it, and no corner', () => {
    const straight = buildTubes(smallPlan());
    const bulged = buildTubes(smallPlan({ build: '{ outline-bulge: 0.5 mm }' }));
    const moved = (index: number) => ({
      across: bulged[index].back.acrossMm - straight[index].back.acrossMm,
      up: bulged[index].back.upMm - straight[index].back.upMm,
    });
    expect(moved(at(3, 7)).across).toBeCloseTo(0.5, 12);
    expect(moved(at(1, 4)).up).toBeCloseTo(0.5, 12);
    for (const corner of [at(1, 1), at(1, 7), at(5, 1), at(5, 7)]) {
      expect(moved(corner).across).toBeCloseTo(0, 12);
      expect(moved(corner).up).toBeCloseTo(0, 12);
    }
  });

  test('jitters have the standard deviation that was put in', () => {
    const changes = {
      array:
        '{ name: Large, arrangement: square, rows: 60, columns: 60, tube-length: 120 mm, tube-bore: 2.5 mm, ' +
        'back-pitch: 3 mm, front-pitch: 3 mm }',
    };
    const straight = buildTubes(smallPlan(changes));
    const shaken = buildTubes(
      smallPlan({ ...changes, build: '{ placement-jitter: 0.05 mm, transmission-scatter: 0.04 }' }),
    );
    const sigma = (values: number[]) => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
    // The error of a standard deviation from n = 3600 values is 1/√(2n) = 1.2 %; four of them. Cutting the scatter off
    // at 3 sigmas narrows it by 0.6 %.
    const offsets = shaken.map((tube, i) => tube.back.acrossMm - straight[i].back.acrossMm);
    expect(Math.abs(sigma(offsets) / 0.05 - 1)).toBeLessThan(0.048);
    expect(Math.abs(sigma(shaken.map((tube) => tube.clarity - 1)) / 0.04 - 1)).toBeLessThan(0.054);
  });

  test('strews as many faults as asked for, one a tube; clusters hang together', () => {
    const plan = smallPlan({
      faults:
        '{ blocked: 2, weak: 3, bent: 2, misaimed: 2, open: 1, leaky: 2, blocked-clusters: 1, cluster-size: 4 }',
      shots: '[{ kind: even }, { kind: single, row: 4, column: 2 }]',
    });
    const tubes = buildTubes(plan);
    const count = (fault: string) => tubes.filter((tube) => tube.fault?.fault === fault).length;
    expect(['blocked', 'weak', 'bent', 'misaimed', 'open', 'leaky'].map(count)).toEqual([6, 3, 2, 2, 1, 2]);
    expect(tubes[at(4, 2)].fault?.fault).toBe('leaky');
    const blocked = tubes.filter((tube) => tube.fault?.fault === 'blocked');
    const touching = (a: (typeof tubes)[number], b: (typeof tubes)[number]) =>
      Math.abs(a.row - b.row) + Math.abs(a.column - b.column) === 1;
    const inGroups = blocked.filter((tube) => blocked.some((other) => touching(tube, other)));
    expect(inGroups.length).toBeGreaterThanOrEqual(4);
  });
});
