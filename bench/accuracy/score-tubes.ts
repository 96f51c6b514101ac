import type { Result } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import type { Drawn } from './draw-plan.js';
import { median, short } from './figures.js';

/** What a session says of the tubes beyond their light and pointing. */
export interface TubeScore {
  /** Measured over true acceptance width − 1, median of the healthy tubes; sessions with a 9 × 7 sweep. */
  readonly width: number | null;
  /** Error over stated standard uncertainty of each healthy tube's width. */
  readonly widthPull: readonly number[];
  /** Of the wall, likewise; null as well where it reflects nothing, which leaves no ratio. */
  readonly gloss: number | null;
  /** Truth and error of bows, and of shifts at the front grid that would cure a misaimed tube, where rightly labelled; mm. */
  readonly bowMm: readonly (readonly [number, number])[];
  readonly cureMm: readonly (readonly [number, number])[];
  /** Gain of replacing a blocked, weak or open tube by a healthy one of the same array: error over its standard uncertainty. */
  readonly gainPull: readonly number[];
}

export const NO_TUBES: TubeScore = {
  width: null,
  widthPull: [],
  gloss: null,
  bowMm: [],
  cureMm: [],
  gainPull: [],
};

export function scoreTubes({ sweep }: Drawn, truth: Truth, result: Result): TubeScore {
  const gainPull = scoreGains(truth, result);
  if (!sweep) return { ...NO_TUBES, gainPull };
  const widths = truth.cells.flatMap((cell, k) => {
    const pointing = result.cells[k].pointing;
    if (cell.fault !== 'none' || !pointing?.acceptanceWidthDeg) return [];
    const error = pointing.acceptanceWidthDeg - cell.acceptanceWidthDeg;
    return [{ error, true: cell.acceptanceWidthDeg, uncertainty: pointing.acceptanceWidthUncertaintyDeg }];
  });
  const pulls = widths.flatMap(({ error, uncertainty }) => (uncertainty ? [error / uncertainty] : []));
  return {
    width: widths.length === 0 ? null : short(median(widths.map((width) => width.error / width.true))),
    widthPull: pulls.map(short),
    gloss:
      result.wall === null || truth.wall.gloss === 0 ? null : short(result.wall.gloss / truth.wall.gloss - 1),
    bowMm: truth.cells.flatMap(({ fault, bow }, k): [number, number][] => {
      const found = result.cells[k].bend;
      return fault === 'bent' && bow && found ? [[short(bow.mm), short(found.bowMm - bow.mm)]] : [];
    }),
    cureMm: truth.cells.flatMap(({ fault, cureShiftMm: cure }, k): [number, number][] => {
      const found = result.cells[k].cureShiftMm;
      if (fault !== 'misaimed' || !cure || !found) return [];
      const error = Math.hypot(found.across - cure.across, found.up - cure.up);
      return [[short(Math.hypot(cure.across, cure.up)), short(error)]];
    }),
    gainPull,
  };
}

/** The new tube is a healthy one of the same array: its light scatters as theirs does, and the stated gain allows for that. */
function scoreGains(truth: Truth, result: Result): number[] {
  const healthy = truth.cells.filter(({ fault }) => fault === 'none');
  const typical = median(healthy.map((cell) => cell.relativeTransmission));
  const useful = (light: number, open: boolean) => (open ? 1 / light : light);
  return result.pull.flatMap((entry, n) => {
    const cell = truth.cells[entry.cell - 1];
    const plain = cell.fault === 'blocked' || cell.fault === 'weak' || cell.fault === 'open';
    if (!plain || entry.fault !== cell.fault || !entry.gainUncertainty) return [];
    const old = useful(cell.relativeTransmission / typical, cell.fault === 'open');
    const renewed = healthy[(n * 7919) % healthy.length].relativeTransmission / typical;
    const gain = (renewed - old) / truth.cells.length;
    return [short((entry.gain - gain) / entry.gainUncertainty)];
  });
}
