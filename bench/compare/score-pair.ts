import type { Comparison, Result, TubeChange } from '@twolamp/session';
import { median } from '../accuracy/figures.js';

/** A session with what is true of it, whichever renderer made it. */
export interface Measured {
  readonly cells: readonly { readonly fault: string; readonly relativeTransmission: number }[];
  /** True resolving distance by the session's criterion; null without pairs, or where they never merge. */
  readonly distanceM: number | null;
  readonly result: Result;
}

/** Light of one tube in both sessions, change against the truth. */
interface TubeScore {
  readonly row: number | null;
  readonly column: number | null;
  readonly trueChange: number;
  readonly change: number;
  readonly uncertainty: number;
}

export interface PairScore {
  readonly id: string;
  readonly tubes: number;
  readonly lampShots: number;
  /** Tubes whose relative transmission truly changed by 0.1 or more, and those of them that are called changed. */
  readonly replaced: number;
  readonly found: number;
  /** Called changed: significant in light or pointing, or with a verdict that says so. */
  readonly called: readonly TubeScore[];
  /** Of these, tubes that are truly the same. */
  readonly wrong: number;
  /** 95 % intervals of a tube's change that hold the true one, all tubes, and how many were stated. */
  readonly held: readonly [number, number];
  /** Of the change of the resolving distance: true less stated, over half the interval's width; null where there is no interval. */
  readonly distancePull: number | null;
  /** (change − true change) ÷ stated uncertainty: root mean square, and median of its size times 1.4826. */
  readonly pull: { readonly rms: number; readonly robust: number };
  /** Median stated uncertainty of a change. */
  readonly uncertainty: number;
  readonly resolving: Comparison['resolving'];
  readonly bounds: readonly (string | null)[];
}

/** The least change of relative transmission that must be found. */
const LEAST_CHANGE = 0.1;
/** True transmissions of tubes that stay the same differ by what the array's typical tube does. */
const SAME = 0.01;
/** Half a 95 % interval of a normal distribution, in standard deviations. */
export const HALF_95 = 1.96;

function isCalled({ transmission, pointing, verdict }: TubeChange): boolean {
  const significant = transmission?.significant === true || pointing?.significant === true;
  return significant || (verdict !== 'unchanged' && verdict !== 'still faulty');
}

/** Holds a comparison against what was truly changed. */
export function scorePair(id: string, before: Measured, after: Measured, comparison: Comparison): PairScore {
  const stayed = before.cells.flatMap(({ fault }, k) =>
    fault === 'none' && after.cells[k].fault === 'none' ? [k] : [],
  );
  const light = [before, after].map(({ cells }) => {
    const typical = median(stayed.map((k) => cells[k].relativeTransmission));
    return cells.map(({ relativeTransmission }) => relativeTransmission / typical);
  });
  const tubes = comparison.tubes.map((tube, index) => {
    const [earlier, later] = light.map((one) => one[index]);
    const { change, uncertainty } = tube.transmission ?? { change: Number.NaN, uncertainty: Number.NaN };
    const { row, column } = tube;
    return { row, column, trueChange: later! - earlier!, change, uncertainty, called: isCalled(tube) };
  });
  const replaced = tubes.filter(({ trueChange }) => Math.abs(trueChange) >= LEAST_CHANGE);
  const same = tubes.filter(({ trueChange }) => Math.abs(trueChange) < SAME);
  const pulls = same
    .map(({ change, trueChange, uncertainty }) => (change - trueChange) / uncertainty)
    .filter(Number.isFinite);
  const known = tubes.filter(({ uncertainty }) => uncertainty > 0);
  const held = known.filter(
    ({ change, trueChange, uncertainty }) => Math.abs(change - trueChange) <= HALF_95 * uncertainty,
  );
  const middle = (values: number[]) => values.sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
  return {
    id,
    tubes: tubes.length,
    lampShots: after.result.photos.filter(({ kind }) => kind === 'lamp').length,
    replaced: replaced.length,
    found: replaced.filter(({ called }) => called).length,
    called: tubes.flatMap(({ called, ...tube }) => (called ? [tube] : [])),
    wrong: same.filter(({ called }) => called).length,
    held: [held.length, known.length],
    distancePull: distancePull(before, after, comparison.resolving),
    pull: {
      rms: Math.sqrt(pulls.reduce((sum, pull) => sum + pull ** 2, 0) / pulls.length),
      robust: 1.4826 * middle(pulls.map(Math.abs)),
    },
    uncertainty: middle(tubes.map((tube) => tube.uncertainty).filter(Number.isFinite)),
    resolving: comparison.resolving,
    bounds: [before, after].map(({ result }) => result.resolving?.bound ?? null),
  };
}

function distancePull(before: Measured, after: Measured, resolving: Comparison['resolving']): number | null {
  if (resolving === null || before.distanceM === null || after.distanceM === null) return null;
  const { lowM, highM, differenceM } = resolving;
  if (lowM === null || highM === null) return null;
  const spacings = after.result.resolving!.spacingM / before.result.resolving!.spacingM;
  const error = differenceM - (after.distanceM - before.distanceM * spacings);
  return error / (error > 0 ? differenceM - lowM : highM - differenceM);
}
