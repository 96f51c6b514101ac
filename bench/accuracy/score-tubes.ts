import type { Result } from '@twolamp/session';
import type { Truth } from '@twolamp/simulate';
import type { Drawn } from './draw-plan.js';
import { median, short } from './figures.js';

/** What a session says of the tubes beyond their light and pointing. */
export interface TubeScore {
  /** Measured over true acceptance width − 1, median of the healthy tubes; sessions with a 9 × 7 sweep. */
  readonly width: number | null;
  /** Of the wall, likewise; null as well where it reflects nothing, which leaves no ratio. */
  readonly gloss: number | null;
  /** Truth and error of bows, and of shifts at the front grid that would cure a misaimed tube, where rightly labelled; mm. */
  readonly bowMm: readonly (readonly [number, number])[];
  readonly cureMm: readonly (readonly [number, number])[];
}

export const NO_TUBES: TubeScore = { width: null, gloss: null, bowMm: [], cureMm: [] };

export function scoreTubes({ sweep }: Drawn, truth: Truth, result: Result): TubeScore {
  if (!sweep) return NO_TUBES;
  const widths = truth.cells.flatMap((cell, k) => {
    const width = result.cells[k].pointing?.acceptanceWidthDeg;
    return cell.fault === 'none' && width ? [width / cell.acceptanceWidthDeg - 1] : [];
  });
  return {
    width: widths.length === 0 ? null : short(median(widths)),
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
  };
}
