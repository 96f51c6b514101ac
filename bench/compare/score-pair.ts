import type { Comparison, Result, TubeChange } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';

interface Measured {
  readonly truth: Truth;
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

function isCalled({ transmission, pointing, verdict }: TubeChange): boolean {
  const significant = transmission?.significant === true || pointing?.significant === true;
  return significant || (verdict !== 'unchanged' && verdict !== 'still faulty');
}

/** Holds a comparison against what was truly changed. */
export function scorePair(id: string, before: Measured, after: Measured, comparison: Comparison): PairScore {
  const tubes = comparison.tubes.map((tube, index) => {
    const [earlier, later] = [before, after].map(({ truth }) => truth.cells[index]!.relativeTransmission);
    const { change, uncertainty } = tube.transmission ?? { change: Number.NaN, uncertainty: Number.NaN };
    const { row, column } = tube;
    return { row, column, trueChange: later! - earlier!, change, uncertainty, called: isCalled(tube) };
  });
  const replaced = tubes.filter(({ trueChange }) => Math.abs(trueChange) >= LEAST_CHANGE);
  const same = tubes.filter(({ trueChange }) => Math.abs(trueChange) < SAME);
  const pulls = same
    .map(({ change, trueChange, uncertainty }) => (change - trueChange) / uncertainty)
    .filter(Number.isFinite);
  const middle = (values: number[]) => values.sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
  return {
    id,
    tubes: tubes.length,
    lampShots: after.truth.photos.filter(({ kind }) => kind === 'lamp').length,
    replaced: replaced.length,
    found: replaced.filter(({ called }) => called).length,
    called: tubes.flatMap(({ called, ...tube }) => (called ? [tube] : [])),
    wrong: same.filter(({ called }) => called).length,
    pull: {
      rms: Math.sqrt(pulls.reduce((sum, pull) => sum + pull ** 2, 0) / pulls.length),
      robust: 1.4826 * middle(pulls.map(Math.abs)),
    },
    uncertainty: middle(tubes.map((tube) => tube.uncertainty).filter(Number.isFinite)),
    resolving: comparison.resolving,
    bounds: [before, after].map(({ result }) => result.resolving?.bound ?? null),
  };
}
