import { tubeLayout } from '@twolamp/optics';
import type { ArraySpec, SeenAs, Shot, SingleShot } from '@twolamp/session';
import type { CellLight } from '../cell-light.js';
import { judgeEven, judgeLamps, judgeSingle } from './judge-photo.js';

/** Whether the outermost tubes look so far aside that no lamp lights all tubes alike: by more than a bore over the length. */
function fansOut({ rows, columns, tubes, frontPitchMm, backPitchMm, tubeBoreMm }: ArraySpec): boolean {
  const across = Math.max(rows, columns, Math.sqrt(tubes ?? 0));
  return ((across - 1) / 2) * (frontPitchMm - backPitchMm) > tubeBoreMm;
}

/** Place of a single shot's tube among the tubes in reading order; of packed ones the brightest is meant. */
function indexOf({ row, column }: SingleShot, array: ArraySpec, { flux }: CellLight): number {
  if (array.arrangement === 'packed') return flux.indexOf(Math.max(...flux));
  const tubes = tubeLayout(array);
  return tubes.row.findIndex((one, k) => one === row && tubes.column[k] === column);
}

/**
 * Whether the cells' light is what the shot says.
 *
 * @param light - of the cells in its photo
 * @param reference - light of the cells in the even shot
 */
export function judgeShot(
  shot: Shot,
  light: CellLight,
  reference: Float64Array,
  array: ArraySpec,
): SeenAs | null {
  switch (shot.kind) {
    case 'even':
      return judgeEven(light, reference);
    case 'lamp':
    case 'pair':
      return judgeLamps(light, reference, fansOut(array));
    case 'single':
      return judgeSingle(light, reference, indexOf(shot, array, light));
    default:
      return null;
  }
}
