import { type TubeLayout, tubeLayout } from '@twolamp/optics';
import {
  type ArraySpec,
  cellPlace,
  type CrosstalkSummary,
  type Finding,
  finding,
  type SingleShot,
} from '@twolamp/session';
import { averageLights, type CellsOnPicture, type LitShot } from '@twolamp/flux';
import { NEAR_PITCHES } from '../neighbours.js';
import { FALSE_DISCOVERY_RATE } from '../tuning.js';
import { benjaminiHochberg, madScale, median, normalTail } from '@twolamp/numeric';
import { shrinkShares } from './shrink-shares.js';
import {
  BACKGROUND_PITCHES,
  LEAST_LEAK,
  LIGHT_ERROR,
  NEAR_CORRELATION,
  REACH_PITCHES,
  WINGS_ERROR,
} from './tuning.js';

/** Tolerance. Fewer cells don't show what light all have in common. */
const LEAST_FAR_CELLS = 12;

/** Share of one tube's light that comes out of another. */
interface Share {
  /** Cell in reading order. */
  readonly cell: number;
  readonly share: number;
  readonly sigma: number;
}

/** Crosstalk of one tube lit alone. */
interface TubeCrosstalk {
  /** The lit cell, in reading order. */
  readonly cell: number;
  readonly total: number;
  readonly sigma: number;
  /** The neighbour with the largest share; null if no share is significant. */
  readonly worst: Share | null;
  /** Whether `worst` significantly exceeds the typical share at its distance. */
  readonly leaky: boolean;
}

/** A tube's leak, from a shot with this tube lit alone. */
export interface TubeLeak {
  /** Share of its light that comes out of other tubes. */
  readonly total: number;
  readonly worst: { readonly cell: number; readonly share: number } | null;
  /** Whether `worst` significantly exceeds the typical share at its distance. */
  readonly leaky: boolean;
}

export interface CrosstalkSurvey {
  readonly tubes: readonly TubeCrosstalk[];
  /** The same by cell, N in reading order; null where a tube wasn't lit alone. */
  readonly leaks: readonly (TubeLeak | null)[];
  /** Null without single shots. */
  readonly summary: CrosstalkSummary | null;
  readonly findings: readonly Finding[];
}

const KERNEL_HALF = 2;

interface LitTube {
  readonly cell: number;
  readonly shares: readonly (Share & {
    readonly dRow: number;
    readonly dColumn: number;
    readonly pitches: number;
  })[];
  /** Square of the light that cells too far off for crosstalk have in common, were it in each of the near ones; share². */
  readonly background2: number;
}

/** How the camera sees the cells, see CellsOnPicture. */
export type View = Pick<CellsOnPicture, 'x' | 'y' | 'shade'>;

/** Camera's gain at one cell relative to another nearby, from the slopes of brightness over their spots. */
function gainAgainst({ x, y, shade }: View, from: number, to: number): number {
  const right = (shade[2 * from] + shade[2 * to]) / 2;
  const down = (shade[2 * from + 1] + shade[2 * to + 1]) / 2;
  return Math.exp(right * (x[to] - x[from]) + down * (y[to] - y[from]));
}

/** The tube that a shot lights: as stated, or the brightest where tubes have no rows and columns to state. */
function litCell(
  layout: TubeLayout,
  { shot: { row, column }, light: { flux } }: LitShot<SingleShot>,
): number {
  return row === null || column === null ? flux.indexOf(Math.max(...flux)) : layout.at(row, column);
}

function litTube(layout: TubeLayout, view: View, shots: readonly LitShot<SingleShot>[]): LitTube | null {
  const cell = litCell(layout, shots[0]);
  const light = averageLights(shots.map((one) => one.light));
  const near: { k: number; pitches: number; across: number; flux: number; sigma: number }[] = [];
  const far: number[] = [];
  for (let k = 0; k < light.flux.length; k++) {
    const across = layout.across[k] - layout.across[cell];
    const pitches = Math.hypot(across, layout.up[k] - layout.up[cell]);
    if (k === cell) continue;
    const gain = gainAgainst(view, cell, k);
    const flux = light.flux[k] / gain;
    if (pitches < REACH_PITCHES) near.push({ k, pitches, across, flux, sigma: light.sigma[k] / gain });
    else if (pitches < BACKGROUND_PITCHES) far.push(flux);
  }
  const own = light.flux[cell];
  const all = near.reduce((sum, { flux }) => sum + flux, own);
  if (!(own > 0.5 * all && own > 20 * light.sigma[cell])) return null;
  const shares = near.map(({ k, pitches, across, flux, sigma }) => ({
    cell: k,
    share: flux / all,
    sigma: sigma / all,
    dRow: layout.row[k] - layout.row[cell],
    // Half a pitch rounds to the right, so that hexagonal offsets don't depend on which rows are shifted.
    dColumn: Math.round(across),
    pitches,
  }));
  // Cells too far off for crosstalk should be dark. Light that they have in common may be in the near cells as well.
  return { cell, shares, background2: (near.length / all) ** 2 * commonLight2(far) };
}

/** Square of the light that cells have in common, less what their scatter explains of it; 0 where they are too few to tell. */
function commonLight2(cells: readonly number[]): number {
  if (cells.length < LEAST_FAR_CELLS) return 0;
  const middle = median(cells);
  // Standard error of a median, normal distribution: √(π/2) that of a mean.
  const error = Math.sqrt(Math.PI / 2 / cells.length) * madScale(cells, middle);
  return middle ** 2 - error ** 2;
}

/**
 * Share of all light that is outside the lit cell, with its standard uncertainty.
 *
 * The wings of the lit spot lie under all cells near it, so that what noise does to the wings makes all of them too bright or too
 * dark together: a part of their errors adds up one by one, not by squares.
 *
 * @param background - light that the cells of a session's photos have in common, as a share of the total
 */
function totalOf({ shares }: LitTube, background: number): { total: number; sigma: number } {
  const near = shares.filter((one) => one.pitches <= NEAR_PITCHES);
  const inCommon = near.reduce((sum, { sigma }) => sum + sigma, 0);
  const apart = Math.hypot(...near.map(({ sigma }) => sigma));
  return {
    total: shares.reduce((sum, one) => sum + one.share, 0),
    sigma: Math.hypot(
      WINGS_ERROR,
      background,
      Math.sqrt(NEAR_CORRELATION * inCommon ** 2 + (1 - NEAR_CORRELATION) * apart ** 2),
      ...shares.filter((one) => one.pitches > NEAR_PITCHES).map(({ sigma }) => sigma),
      ...shares.map(({ share }) => LIGHT_ERROR * share),
    ),
  };
}

const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** A mean with its standard uncertainty as that of the whole array: the tubes' scatter, or the measurement's where larger. */
function meanOf(values: readonly { readonly value: number; readonly sigma: number }[]) {
  const middle = mean(values.map(({ value }) => value));
  const measured = Math.hypot(...values.map(({ sigma }) => sigma)) / values.length;
  const scatter =
    values.length < 2
      ? 0
      : Math.hypot(...values.map(({ value }) => value - middle)) /
        Math.sqrt(values.length * (values.length - 1));
  return { mean: middle, uncertainty: Math.max(measured, scatter) };
}

/** Mean shares by offset, with their standard uncertainties; null where no tested tube has a neighbour in that place. */
function kernelOf(tubes: readonly LitTube[]): Pick<CrosstalkSummary, 'kernel' | 'kernelUncertainty'> {
  const side = 2 * KERNEL_HALF + 1;
  const at = Array.from({ length: side }, (_, row) =>
    Array.from({ length: side }, (_, column) => {
      if (row === KERNEL_HALF && column === KERNEL_HALF) return { mean: 0, uncertainty: 0 };
      const shares = tubes.flatMap((tube) =>
        tube.shares
          .filter((one) => one.dRow === row - KERNEL_HALF && one.dColumn === column - KERNEL_HALF)
          .map(({ share, sigma }) => ({ value: share, sigma })),
      );
      return shares.length === 0 ? { mean: 0, uncertainty: null } : meanOf(shares);
    }),
  );
  return {
    kernel: at.map((line) => line.map(({ mean }) => mean)),
    kernelUncertainty: at.map((line) => line.map(({ uncertainty }) => uncertainty)),
  };
}

/** The mean total of the tubes; what the shape of the lit spots leaves open is common to all of them. */
function meanTotalOf(tubes: readonly TubeCrosstalk[]) {
  const { mean, uncertainty } = meanOf(
    tubes.map(({ total, sigma }) => ({ value: total, sigma: Math.sqrt(sigma ** 2 - WINGS_ERROR ** 2) })),
  );
  return { meanTotal: mean, meanTotalUncertainty: Math.hypot(uncertainty, WINGS_ERROR) };
}

/** For each tube, whether its worst share significantly exceeds the typical one at that distance. */
function leakyTubes(
  tubes: readonly LitTube[],
  worst: readonly (LitTube['shares'][number] | undefined)[],
): boolean[] {
  const typical = (pitches: number): { share: number; scatter: number } => {
    const shares = tubes.flatMap((tube) =>
      tube.shares.filter((one) => Math.abs(one.pitches - pitches) < 0.2).map((one) => one.share),
    );
    return { share: median(shares), scatter: madScale(shares) };
  };
  const excess = worst.map((one) => {
    if (!one) return { over: 0, p: 1 };
    const { share, scatter } = typical(one.pitches);
    const over = one.share - share;
    return { over, p: normalTail(over / Math.hypot(one.sigma, scatter, 1e-9)) };
  });
  const found = benjaminiHochberg(
    excess.map((one) => one.p),
    FALSE_DISCOVERY_RATE,
  );
  return excess.map((one, n) => found.found[n] === 1 && one.over > LEAST_LEAK);
}

/**
 * Crosstalk from shots with one tube lit alone: shares of its light that come out of other tubes.
 *
 * @param array - rows, columns, pitches
 * @param view - how the camera sees the cells; vignetting makes neighbours look dimmer or brighter
 * @param shots - lights of `single` shots; repeats of one tube are averaged
 */
export function measureCrosstalk(
  array: ArraySpec,
  view: View,
  shots: readonly LitShot<SingleShot>[],
): CrosstalkSurvey {
  const layout = tubeLayout(array);
  const leaks = new Array<TubeLeak | null>(layout.count).fill(null);
  if (shots.length === 0) {
    return {
      tubes: [],
      leaks,
      summary: null,
      findings: [finding('no-single', 'crosstalk', {})],
    };
  }
  const groups = new Map<number, LitShot<SingleShot>[]>();
  for (const one of shots) {
    const key = litCell(layout, one);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const findings: Finding[] = [];
  const lit: LitTube[] = [];
  for (const [cell, group] of groups) {
    const tube = litTube(layout, view, group);
    if (tube) lit.push(tube);
    else {
      const { photo } = group[0].shot;
      findings.push(finding('single-not-lit', 'crosstalk', { photo, tube: cellPlace(array, cell) }));
    }
  }
  if (lit.length === 0) return { tubes: [], leaks, summary: null, findings };
  const steady = shrinkShares(lit.map((tube) => tube.shares));
  const tubes = lit.map((tube, n): LitTube => ({ ...tube, shares: steady[n] }));
  const worst = tubes.map((tube) => [...tube.shares].sort((a, b) => b.share - a.share)[0]);
  const leaky = leakyTubes(tubes, worst);
  const background = Math.sqrt(Math.max(0, mean(tubes.map(({ background2 }) => background2))));
  const judged = tubes.map((tube, n): TubeCrosstalk => {
    const most = worst[n];
    const clear = most !== undefined && most.share > 3 * most.sigma;
    return {
      cell: tube.cell,
      ...totalOf(tube, background),
      worst: clear ? { cell: most.cell, share: most.share, sigma: most.sigma } : null,
      leaky: leaky[n],
    };
  });
  for (const { cell, total, worst: most, leaky: leaking } of judged) {
    leaks[cell] = {
      total,
      worst: most && { cell: most.cell, share: most.share },
      leaky: leaking,
    };
  }
  return {
    tubes: judged,
    leaks,
    summary: {
      tubesTested: tubes.length,
      ...meanTotalOf(judged),
      // Packed tubes have no offsets in common.
      ...(array.arrangement === 'packed' ? { kernel: [], kernelUncertainty: [] } : kernelOf(tubes)),
    },
    findings,
  };
}
