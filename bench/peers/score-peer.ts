import type { CellResult, Result } from '@twolamp/session';
import { lookOfLight } from '../accuracy/score.js';

/** What is used of truth.json as the second renderer writes it; see README.md in this folder. */
export interface PeerTruth {
  readonly typicalAbsoluteTransmission: number;
  readonly cells: readonly {
    readonly row: number;
    readonly column: number;
    readonly xPx: number;
    readonly yPx: number;
    readonly relativeTransmission: number;
    readonly absoluteTransmission: number;
    readonly pointing: {
      readonly acrossDeg: number;
      readonly upDeg: number;
      readonly acceptanceWidthDeg: number;
    };
    readonly fault: string;
    readonly crosstalk: {
      readonly total: number;
      readonly shares: readonly { readonly row: number; readonly column: number; readonly share: number }[];
    };
  }[];
  readonly pairs: readonly { readonly photo: string; readonly dipScattered: number }[];
  /** Of tubes as they look, and of ideal ones that all look where they should; missing without pairs. */
  readonly resolving?: { readonly distanceScatteredM: number; readonly distanceM: number };
}

/** The figures that are judged; absolute transmission, width and the resolving distance as shares of themselves, pointing in degrees. */
export type JudgedFigure =
  | 'transmission'
  | 'absolute'
  | 'pointing'
  | 'width'
  | 'crosstalk'
  | 'dip'
  | 'resolving';

/** One measured figure against its truth. */
export interface Judged {
  readonly figure: JudgedFigure;
  readonly error: number;
  /** Whether the stated 95 % interval holds the truth; null where none is stated. */
  readonly held: boolean | null;
  /** Error over the stated standard uncertainty; null where none is stated. */
  readonly pull: number | null;
}

/** Half the width of a 95 % interval of a normal distribution, in standard deviations. */
const HALF_95 = 1.959964;

function judged(figure: Judged['figure'], error: number, uncertainty: number | null): Judged {
  if (uncertainty === null) return { figure, error, held: null, pull: null };
  const pull = error / uncertainty;
  return { figure, error, held: Math.abs(pull) <= HALF_95, pull };
}

/** Farther than this from its middle a cell is another tube's, pitches. */
const SAME_TUBE = 0.3;

/** Tubes and the cells that were found there: in reading order on a grid, by their places where packed. */
function matched({ cells }: PeerTruth, result: Result): [PeerTruth['cells'][number], CellResult][] {
  if (result.array.arrangement !== 'packed') return cells.map((cell, k) => [cell, result.cells[k]]);
  const reach = SAME_TUBE * pitchPxOf(result);
  return cells.flatMap((cell) => {
    const near = result.cells.find((one) => Math.hypot(one.xPx - cell.xPx, one.yPx - cell.yPx) < reach);
    return near === undefined ? [] : [[cell, near] as [typeof cell, CellResult]];
  });
}

/** Median distance to the nearest cell. */
function pitchPxOf({ cells }: Result): number {
  const nearest = cells.map((one) =>
    cells.reduce(
      (least, other) =>
        other === one ? least : Math.min(least, Math.hypot(one.xPx - other.xPx, one.yPx - other.yPx)),
      Number.POSITIVE_INFINITY,
    ),
  );
  return nearest.sort((a, b) => a - b)[nearest.length >> 1];
}

/** Tubes of a packed session that no cell was found at, and cells where no tube is. */
export function countMissed(truth: PeerTruth, result: Result): { missed: number; invented: number } {
  const pairs = matched(truth, result);
  return {
    missed: truth.cells.length - pairs.length,
    invented: result.cells.length - new Set(pairs.map(([, cell]) => cell)).size,
  };
}

/** Holds the result of a session of the second renderer against its truth: healthy tubes, all dips, the resolving distance. */
export function scorePeer(truth: PeerTruth, result: Result): Judged[] {
  const looks = lookOfLight(truth.cells.map((cell) => ({ ...cell, leaks: cell.crosstalk.shares })));
  const lookOf = new Map(truth.cells.map((cell, k) => [cell, looks[k]]));
  const tubes = matched(truth, result).map(([cell, got]) => ({ cell, look: lookOf.get(cell)!, got }));
  const healthy = tubes.filter(({ cell }) => cell.fault === 'none');
  return [
    ...healthy.flatMap(({ cell, got: { transmission } }) => [
      ...(transmission.relative === null
        ? []
        : [
            judged(
              'transmission',
              transmission.relative - cell.relativeTransmission,
              transmission.relativeUncertainty,
            ),
          ]),
      ...(transmission.absolute === null
        ? []
        : [
            judged(
              'absolute',
              transmission.absolute / cell.absoluteTransmission - 1,
              transmission.absoluteUncertainty &&
                transmission.absoluteUncertainty / cell.absoluteTransmission,
            ),
          ]),
    ]),
    ...healthy.flatMap(({ look, got: { pointing } }) =>
      pointing === null
        ? []
        : [
            judged('pointing', pointing.acrossDeg - look.acrossDeg, pointing.uncertaintyDeg),
            judged('pointing', pointing.upDeg - look.upDeg, pointing.uncertaintyDeg),
          ],
    ),
    ...healthy.flatMap(({ cell, got: { pointing } }) => {
      const { acceptanceWidthDeg: known } = cell.pointing;
      if (!pointing?.acceptanceWidthDeg || !pointing.acceptanceWidthUncertaintyDeg) return [];
      const uncertainty = pointing.acceptanceWidthUncertaintyDeg / known;
      return [judged('width', pointing.acceptanceWidthDeg / known - 1, uncertainty)];
    }),
    ...tubes.flatMap(({ cell, got: { crosstalk } }) =>
      crosstalk === null
        ? []
        : [judged('crosstalk', crosstalk.total - cell.crosstalk.total, crosstalk.totalUncertainty)],
    ),
    ...truth.pairs.flatMap(({ photo, dipScattered }) => {
      const pair = result.pairs.find((one) => one.photo.startsWith(`${photo}.`));
      return pair === undefined || pair.dip === null
        ? []
        : [judged('dip', pair.dip - dipScattered, pair.dipUncertainty)];
    }),
    ...scoreResolving(truth, result),
  ];
}

function scoreResolving(truth: PeerTruth, { resolving }: Result): Judged[] {
  const known = truth.resolving?.distanceScatteredM;
  if (known === undefined || resolving === null || resolving.bound !== 'within') return [];
  const { distanceM, lowM, highM } = resolving;
  const held = lowM === null || highM === null ? null : known >= lowM && known <= highM;
  return [{ figure: 'resolving', error: distanceM / known - 1, held, pull: null }];
}
