import type { ArrayDimensions } from './array-relations.js';
import { inItsUnit } from './plausible.js';
import type { Shot } from './session-format.js';

/** What a shot is held against. */
export interface ShotSurroundings {
  readonly array: ArrayDimensions;
  readonly 'lamp-diameter'?: number | undefined;
}

/** A field of a shot that doesn't fit the others, or does so seldom that one should look again. */
export interface ShotMisfit {
  readonly field: string;
  readonly expected: string;
}

/** Direction of a lamp off the array's normal, deg: beyond, it stands beside the front face, not before it. */
const OFF_NORMAL_DEG = { possible: 80, usual: 45 };
/** Tube lengths from the front face. */
const NEAREST_LENGTHS = { possible: 1, usual: 2 };

const degreesOff = (asideMm: number, distanceMm: number) => (Math.atan2(asideMm, distanceMm) * 180) / Math.PI;

interface Lamps {
  readonly distanceMm: number;
  /** Of the farthest lamp from the normal through the array's middle. */
  readonly asideMm: number;
  readonly spacingMm: number | null;
}

function lampsOf(shot: Shot): Lamps | null {
  if (shot.kind === 'lamp') {
    return { distanceMm: shot.distanceMm, asideMm: Math.hypot(shot.acrossMm, shot.upMm), spacingMm: null };
  }
  if (shot.kind !== 'pair') return null;
  const asideMm = Math.hypot(shot.acrossMm, shot.upMm) + shot.spacingMm / 2;
  return { distanceMm: shot.distanceMm, asideMm, spacingMm: shot.spacingMm };
}

/** What is impossible about a shot as a whole, given the array and the lamps. */
export function shotMisfits(shot: Shot, around: ShotSurroundings): ShotMisfit[] {
  const misfits: ShotMisfit[] = [];
  if (around.array.kind === 'cell-screen' && (shot.kind === 'lamp' || shot.kind === 'pair')) {
    const expected =
      'dark, even, bare or single: behind a lens, where cells point and how far two lamps stay separate do not apply';
    return [{ field: 'kind', expected }];
  }
  if (shot.kind === 'single') {
    for (const [field, limit] of [
      ['row', around.array.rows],
      ['column', around.array.columns],
    ] as const) {
      const stated = shot[field];
      if (around.array.arrangement === 'packed') {
        if (stated !== null) misfits.push({ field, expected: `none: packed tubes have no ${field}s` });
      } else if (stated === null || stated > limit) {
        misfits.push({ field, expected: `a ${field} from 1 to ${limit}` });
      }
    }
    const { map } = around.array;
    if (misfits.length > 0 || shot.row === null || shot.column === null) return misfits;
    if (map && map[shot.row - 1]?.[shot.column - 1] !== '#') {
      misfits.push({
        field: 'column',
        expected: `a place with a tube; the map has none at row ${shot.row} column ${shot.column}`,
      });
    }
  }
  const lamps = lampsOf(shot);
  if (lamps === null) return misfits;
  const nearestMm = NEAREST_LENGTHS.possible * around.array.tubeLengthMm;
  if (lamps.distanceMm < nearestMm) {
    misfits.push({
      field: 'distance',
      expected: `at least one tube length, ${inItsUnit('tubeLengthMm', nearestMm)}, from the front face`,
    });
  } else if (degreesOff(lamps.asideMm, lamps.distanceMm) > OFF_NORMAL_DEG.possible) {
    const degrees = degreesOff(lamps.asideMm, lamps.distanceMm).toFixed(0);
    misfits.push({
      field: 'distance',
      expected: `lamps in front of the array, at most ${OFF_NORMAL_DEG.possible}° off its middle axis; this is ${degrees}°`,
    });
  }
  const diameterMm = around['lamp-diameter'] ?? 0;
  if (lamps.spacingMm !== null && lamps.spacingMm < diameterMm) {
    misfits.push({
      field: 'spacing',
      expected: `at least the lamps' diameter, ${inItsUnit('lampDiameterMm', diameterMm)}: from middle to middle`,
    });
  }
  return misfits;
}

/** What is possible about a shot as a whole, but met so seldom that one should look again. */
export function unusualShot(shot: Shot, array: ArrayDimensions): ShotMisfit[] {
  const lamps = lampsOf(shot);
  if (lamps === null) return [];
  const unusual: ShotMisfit[] = [];
  if (lamps.distanceMm < NEAREST_LENGTHS.usual * array.tubeLengthMm) {
    unusual.push({ field: 'distance', expected: `usually at least ${NEAREST_LENGTHS.usual} tube lengths` });
  }
  if (degreesOff(lamps.asideMm, lamps.distanceMm) > OFF_NORMAL_DEG.usual) {
    unusual.push({
      field: lamps.spacingMm === null ? 'across' : 'spacing',
      expected: `usually at most ${OFF_NORMAL_DEG.usual}° off the array's middle axis`,
    });
  }
  return unusual;
}
