import { type ArrayGeometry, latticePlace, seededRandom } from '@twolamp/optics';
import type { Plan } from '../plan/plan-format.js';
import { STREAM } from '../streams.js';
import { everyPlace } from './every-place.js';
import { neighbours } from './neighbours.js';
import { litLayout, type Tube } from './tubes.js';

/** Light of one tube that leaves by another. */
export interface Leak {
  readonly to: number;
  readonly share: number;
}

/** Crosstalk reaches this many pitches, and falls off e-fold within {@link FALL_PITCHES}. */
const REACH = 1.5;
const FALL_PITCHES = 0.45;
/** Tubes that touch one inside a hexagonal stack. */
const TOUCHING = 6;

/** Share of one tube's crosstalk that goes to a cell so many pitches away, before the shares are made to add up to 1. */
function weight(pitches: number): number {
  return Math.exp(-(pitches - 1) / FALL_PITCHES);
}

/** Crosstalk of a tube deep inside a faultless array, by place in pitches from it; shares add up to the plan's total. */
export function nominalKernel(array: ArrayGeometry, total: number) {
  // On average packed tubes lie as hexagonal ones do.
  const hexagonal =
    array.arrangement === 'packed' ? ({ arrangement: 'hexagonal', shiftedRows: 'even' } as const) : {};
  const big = { ...array, ...hexagonal, rows: 9, columns: 9 };
  const middle = latticePlace(big, 5, 5);
  const cells = neighbours(big, 4 * 9 + 4, REACH).map((index) => {
    const place = latticePlace(big, Math.floor(index / 9) + 1, (index % 9) + 1);
    const across = place.across - middle.across;
    const up = place.up - middle.up;
    return { across, up, weight: weight(Math.hypot(across, up)) };
  });
  const sum = cells.reduce((all, cell) => all + cell.weight, 0);
  return cells.map(({ across, up, weight }) => ({ across, up, share: (total * weight) / sum }));
}

/**
 * Where each tube's light goes astray: the same pattern for all, more or less of it from tube to tube, and the leak of
 * a leaky tube on top. Shares are of the light that passes the tube and leaves by any.
 *
 * @returns one list a tube; shares towards places outside the array are not there, so rim tubes lose less
 */
export function buildCrosstalk(plan: Plan, tubes: readonly Tube[]): Leak[][] {
  const { array, build } = plan;
  const random = seededRandom(plan.seed, STREAM.crosstalk);
  const kernel = nominalKernel(array, build.crosstalk);
  const shareAt = (across: number, up: number) =>
    kernel.find((cell) => Math.hypot(cell.across - across, cell.up - up) < 0.1)?.share ?? 0;
  const layout = litLayout(plan);
  const places = everyPlace(array);
  const packed = array.arrangement === 'packed';
  return tubes.map((tube) => {
    const strength = Math.max(0, 1 + build['crosstalk-scatter'] * random.normal());
    const grid = packed ? tube.column - 1 : (tube.row - 1) * array.columns + tube.column - 1;
    const place = places[grid];
    const leaks = neighbours(array, grid, REACH).flatMap((beside) => {
      const other = places[beside];
      const to = layout.at(other.row, other.column);
      if (to < 0) return [];
      const [across, up] = [other.across - place.across, other.up - place.up];
      // Packed tubes lie at any distance: one that touches gets a sixth of the whole.
      const share = packed
        ? (build.crosstalk * weight(Math.hypot(across, up))) / TOUCHING
        : shareAt(across, up);
      return { to, share: strength * share };
    });
    if (tube.fault?.fault === 'leaky') {
      const { to, share } = tube.fault;
      const at = layout.at(to.row, to.column);
      const known = leaks.findIndex((leak) => leak.to === at);
      if (known < 0) leaks.push({ to: at, share });
      else leaks[known] = { to: at, share: leaks[known].share + share };
    }
    return leaks.filter((leak) => leak.share > 0);
  });
}

/**
 * Light out of each tube, given the light that passes each.
 *
 * @param passed - one value a tube
 * @returns one value a tube, same sum
 */
export function mixCrosstalk(passed: Float64Array, leaks: readonly (readonly Leak[])[]): Float64Array {
  const out = passed.slice();
  leaks.forEach((ways, from) => {
    for (const { to, share } of ways) {
      out[to] += share * passed[from];
      out[from] -= share * passed[from];
    }
  });
  return out;
}
