import { type TubeLayout, tubeLayout, tubeOfCell } from '@twolamp/optics';
import type { CellResult, Result } from '@twolamp/session';

/** Light that enters one tube and leaves by another; cells in reading order. */
interface Leak {
  readonly to: number;
  readonly share: number;
}

/** One list a tube. Shares towards places outside the array are not there: a tube at the rim loses less. */
export type Leaks = readonly (readonly Leak[])[];

/**
 * Crosstalk of each tube: by the kernel of typical tubes, or, where the tube was tested itself, by its own total and worst
 * neighbour.
 *
 * @param isTypical - whether a tube, by its index, is taken for a typical one whatever was measured
 * @returns null where no crosstalk was measured
 */
export function crosstalkLeaks(result: Result, isTypical: (cell: number) => boolean): Leaks | null {
  if (result.crosstalk === null) return null;
  const layout = tubeLayout(result.array);
  const kernel = typicalKernel(result, result.crosstalk.kernel, layout);
  const downReach = (kernel.length - 1) / 2;
  const acrossReach = ((kernel[0]?.length ?? 1) - 1) / 2;
  return result.cells.map((cell, from) => {
    const leaks: Leak[] = [];
    // Packed tubes have no offsets in common: only tested ones are known to leak.
    const [ownRow, ownColumn] = [layout.row[from], layout.column[from]];
    for (let down = -downReach; down <= downReach; down++) {
      const row = ownRow + down;
      // Offsets across count in pitches, half a pitch rounded to the right; a column more to either side finds all.
      for (let column = ownColumn - acrossReach - 1; column <= ownColumn + acrossReach + 1; column++) {
        const to = layout.at(row, column);
        if (to < 0 || to === from) continue;
        const across = Math.round(layout.across[to] - layout.across[from]);
        const share = kernel[down + downReach][across + acrossReach];
        if (share !== undefined && share !== 0) leaks.push({ to, share });
      }
    }
    return cell.crosstalk === null || isTypical(from) ? leaks : asTested(leaks, cell.crosstalk, result.array);
  });
}

/**
 * The mean kernel of the tubes tested without the leaks of the leaky ones among them: the other tubes are taken to have none.
 * Where leaky tubes alone were tested towards a side, it is as on the opposite one.
 */
function typicalKernel(
  { array, cells }: Result,
  mean: readonly (readonly number[])[],
  layout: TubeLayout,
): readonly (readonly number[])[] {
  const downReach = (mean.length - 1) / 2;
  const acrossReach = ((mean[0]?.length ?? 1) - 1) / 2;
  const offset = (from: number, to: number) => ({
    down: layout.row[to] - layout.row[from] + downReach,
    across: Math.round(layout.across[to] - layout.across[from]) + acrossReach,
  });
  const tested = cells.flatMap(({ crosstalk }, i) => (crosstalk === null ? [] : [i]));
  const leaks = tested.flatMap((from) => {
    const { fault, crosstalk } = cells[from];
    const worst = crosstalk?.worst;
    if (fault !== 'leaky' || !worst) return [];
    return [{ ...offset(from, tubeOfCell(array, worst.cell)), share: worst.share }];
  });
  return mean.map((line, down) =>
    line.map((share, across) => {
      const astray = leaks.filter((leak) => leak.down === down && leak.across === across);
      if (astray.length === 0) return share;
      const testedThere = tested.filter((from) =>
        cells.some((_, to) => offset(from, to).down === down && offset(from, to).across === across),
      ).length;
      const typical = testedThere - astray.length;
      if (typical <= 0) return mean[2 * downReach - down][2 * acrossReach - across];
      return (testedThere * share - astray.reduce((sum, leak) => sum + leak.share, 0)) / typical;
    }),
  );
}

function asTested(
  leaks: readonly Leak[],
  { total, worst }: NonNullable<CellResult['crosstalk']>,
  array: Result['array'],
): Leak[] {
  const worstCell = worst === null ? -1 : tubeOfCell(array, worst.cell);
  const others = leaks.filter(({ to }) => to !== worstCell);
  const usual = others.reduce((sum, { share }) => sum + share, 0);
  const scale = usual > 0 ? (total - (worst?.share ?? 0)) / usual : 0;
  return [
    ...others.map(({ to, share }) => ({ to, share: scale * share })),
    ...(worst === null ? [] : [{ to: worstCell, share: worst.share }]),
  ];
}

/** Light that comes out of each tube, given the light that enters each; same sum. */
export function mixLeaks(entered: Float64Array, leaks: Leaks | null): Float64Array {
  const out = entered.slice();
  leaks?.forEach((ways, from) => {
    for (const { to, share } of ways) {
      out[to] += share * entered[from];
      out[from] -= share * entered[from];
    }
  });
  return out;
}

const MOST_STEPS = 100;
const SETTLED = 1e-9;

/**
 * Light that enters each tube, given the light that comes out of each: {@link mixLeaks} undone, by fixed-point
 * iteration. No tube gets less than nothing.
 */
export function unmixLeaks(
  out: Float64Array,
  leaks: Leaks | null,
): { readonly entered: Float64Array; readonly stopped: 'converged' | 'step-limit' } {
  let entered = out.slice();
  for (let step = 0; step < MOST_STEPS; step++) {
    const mixed = mixLeaks(entered, leaks);
    const next = entered.map((value, i) => Math.max(0, value + out[i] - mixed[i]));
    const moved = next.reduce((most, value, i) => Math.max(most, Math.abs(value - entered[i])), 0);
    entered = next;
    if (moved < SETTLED) return { entered, stopped: 'converged' };
  }
  return { entered, stopped: 'step-limit' };
}
