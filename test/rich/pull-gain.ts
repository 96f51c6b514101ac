import { axisSlopes, frontPlace } from '@twolamp/optics';
import type { PullEntry } from '@twolamp/session';
import { beforeAll, describe, expect, test } from 'vitest';
import { type Bench, buildBench } from '../../packages/simulate/src/array/bench.js';
import { tubeLight } from '../../packages/simulate/src/shots/passed-light.js';
import { cellIndex, COLUMNS, FAULTS, type Rich, richPlan, ROWS, SPACING_MM } from './session.js';

const TUBES = ROWS * COLUMNS;

const broken = buildBench(richPlan());
/** The plan with the first tubes of the list replaced: other faults stay. */
function repaired(first: readonly PullEntry[]): Bench {
  const isReplaced = (fault: string) =>
    first.some(({ row, column }) => fault.startsWith(`{ row: ${row}, column: ${column},`));
  return buildBench(richPlan(FAULTS.filter((fault) => !isReplaced(fault))));
}
const lampAt = (across: number, up: number, distance: number) =>
  ({ kind: 'lamp', repeats: 1, across, up, distance }) as const;
const sum = (values: readonly number[]) => values.reduce((all, value) => all + value, 0);

/** Of each tube, the light in common before and after over the greater of both, lamps standing everywhere. */
function inCommon(one: Bench, other: Bench): number[] {
  const sums = Array.from({ length: TUBES }, () => ({ common: 0, one: 0, other: 0 }));
  for (let across = -270; across <= 270; across += 30) {
    for (let up = -240; up <= 240; up += 30) {
      const lamp = lampAt(across, up, 2500);
      const [old, fresh] = [tubeLight(one, lamp).out, tubeLight(other, lamp).out];
      sums.forEach((all, tube) => {
        all.common += Math.min(old[tube]!, fresh[tube]!);
        all.one += old[tube]!;
        all.other += fresh[tube]!;
      });
    }
  }
  return sums.map((all) => all.common / Math.max(all.one, all.other));
}

interface PaintedCell {
  /** Slopes from the middle between the images: along the lamps' line, and off it. */
  readonly along: number;
  readonly aside: number;
  readonly light: number;
  readonly typical: number;
}

/**
 * Light along the line of two lamps' images as an eye meets it that blurs cells by a Gaussian of 0.6 half widths: light due
 * there, times the ratio of the cells' light to typical tubes' around, by least squares.
 */
function paintedDip(
  due: (along: number) => number,
  half: number,
  halfWidth: number,
  cells: readonly PaintedCell[],
): number {
  const blur = 0.6 * halfWidth;
  const at = (along: number) => {
    const weighted = cells.map((cell) => ({
      ...cell,
      weight: cell.typical * Math.exp(-((cell.along - along) ** 2 + cell.aside ** 2) / (2 * blur ** 2)),
    }));
    return (
      (due(along) * sum(weighted.map(({ weight, light }) => weight * light))) /
      sum(weighted.map(({ weight, typical }) => weight * typical))
    );
  };
  const steps = Array.from({ length: 25 }, (_, n) => n / 16);
  const peak = (side: number) => Math.max(...steps.map((step) => at(side * half * step)));
  const valley = Math.min(
    ...steps.filter((step) => step < 1).flatMap((step) => [at(half * step), at(-half * step)]),
  );
  return Math.max(0, 1 - valley / Math.min(peak(1), peak(-1)));
}

/** Mean dip of two lamps as the arrays paint it, their middle laid on every second cell, a chessboard's; one an array. */
function paintedDips(benches: readonly Bench[], distanceMm: number): number[] {
  const perfect = buildBench(richPlan([], ''));
  const { array } = perfect.plan;
  const half = SPACING_MM / distanceMm / 2;
  const { healthy } = perfect;
  const due = (along: number) =>
    healthy.at(along - half, 0, distanceMm) + healthy.at(along + half, 0, distanceMm);
  const halfWidth = healthy.far.widthRad / 2;
  const places = Array.from({ length: TUBES }, (_, n) => {
    const [row, column] = [Math.floor(n / COLUMNS) + 1, (n % COLUMNS) + 1];
    return { front: frontPlace(array, row, column), axis: axisSlopes(array, row, column) };
  });
  const totals = benches.map(() => 0);
  const centres = places.filter((_, n) => n % 2 === 0);
  for (const { front, axis } of centres) {
    const across = front.acrossMm + axis.across * distanceMm;
    const up = front.upMm + axis.up * distanceMm;
    const lamps = [-1, 1].map((side) => lampAt(across + (side * SPACING_MM) / 2, up, distanceMm));
    const lightIn = (bench: Bench) => {
      const [left, right] = lamps.map((lamp) => tubeLight(bench, lamp).out);
      return left!.map((light, n) => light + right![n]!);
    };
    const typical = lightIn(perfect);
    const cells = places.map((place, n) => ({
      along: place.axis.across - (across - place.front.acrossMm) / distanceMm,
      aside: place.axis.up - (up - place.front.upMm) / distanceMm,
      typical: typical[n]!,
    }));
    benches.forEach((bench, n) => {
      const painted = Array.from(lightIn(bench), (light, k) => ({ ...cells[k]!, light }));
      totals[n]! += paintedDip(due, half, halfWidth, painted) / centres.length;
    });
  }
  return totals;
}

/**
 * The measurement predicts what pulling the first tubes of the list brings. The simulator builds the same array with these
 * tubes replaced, all others as they were, and shows what it really brings: light by light, without a camera.
 */
export function pullGainTests(rich: () => Rich): void {
  describe('the first eight of the list replaced', () => {
    const REPLACED = 8;
    let first: PullEntry[];
    let after: Bench;
    beforeAll(() => {
      first = rich().result.pull.slice(0, REPLACED);
      after = repaired(first);
    });

    test('light where it is due: the gain that was predicted, within its uncertainty', () => {
      const common = inCommon(broken, after);
      const brought = sum(first.map(({ row, column }) => 1 - common[cellIndex({ row, column })]!)) / TUBES;
      const predicted = sum(first.map(({ gain }) => gain));
      const uncertainty = Math.hypot(...first.map(({ gainUncertainty }) => gainUncertainty!));
      expect(Math.abs(brought - predicted)).toBeLessThan(2 * uncertainty);
      expect(uncertainty).toBeLessThan(0.1 * predicted);
    });

    test('the mean dip at the resolving distance: likewise', () => {
      const [was, is] = paintedDips([broken, after], 1000 * rich().result.resolving!.distanceM);
      const predicted = sum(first.map(({ dipGain }) => dipGain!));
      const uncertainty = Math.hypot(...first.map(({ dipGainUncertainty }) => dipGainUncertainty!));
      expect(Math.abs(is! - was! - predicted)).toBeLessThan(2 * uncertainty);
      expect(uncertainty).toBeLessThan(0.2 * predicted);
    });
  });
}
