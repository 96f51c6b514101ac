import { median } from '@twolamp/numeric';
import { circleOverlap, tubeAxis, tubeFront, tubeLayout } from '@twolamp/optics';
import {
  type ArraySpec,
  type LampShot,
  lampsOf,
  type PairShot,
  type SeenAs,
  type Shot,
  type SingleShot,
} from '@twolamp/session';
import type { CellLight } from '@twolamp/flux';
import { judgeEven, judgeLamps, judgeSingle } from './judge-photo.js';
import { TUNING } from './tuning.js';

/**
 * Light of the lamps through every tube, were its walls black and all as stated; 1 = a tube that looks straight at one.
 * Null of packed tubes, whose places aren't stated.
 */
function expectedLight(shot: LampShot | PairShot, array: ArraySpec): Float64Array | null {
  if (array.arrangement === 'packed') return null;
  const light = new Float64Array(tubeLayout(array).count);
  for (let tube = 0; tube < light.length; tube++) {
    const [axis, front] = [tubeAxis(array, tube), tubeFront(array, tube)];
    for (const [acrossMm, upMm] of lampsOf(shot)) {
      const across = (acrossMm - front.acrossMm) / shot.distanceMm - axis.across;
      const up = (upMm - front.upMm) / shot.distanceMm - axis.up;
      light[tube] += circleOverlap((array.tubeLengthMm / array.tubeBoreMm) * Math.hypot(across, up));
    }
  }
  return light;
}

/** Place of a single shot's tube among the tubes in reading order; of packed ones the brightest is meant. */
function indexOf({ row, column }: SingleShot, array: ArraySpec, { flux }: CellLight): number {
  if (array.arrangement === 'packed') return flux.indexOf(Math.max(...flux));
  const tubes = tubeLayout(array);
  return tubes.row.findIndex((one, k) => one === row && tubes.column[k] === column);
}

/**
 * Whether a shot lights only tubes that pass next to nothing, or none: its photo shows nothing then, and that is no mistake.
 *
 * @param even - light of the cells in the even shot
 */
export function lightsNoOpenTube(shot: Shot, even: CellLight, array: ArraySpec): boolean {
  const aimed = aimedAt(shot, even, array);
  if (aimed === null) return false;
  const typical = median(even.flux.filter(Number.isFinite));
  let [passed, due] = [0, 0];
  aimed.forEach((light, k) => {
    if (!Number.isFinite(even.flux[k])) return;
    passed += light * Math.max(0, even.flux[k]!);
    due += light * typical;
  });
  return passed <= TUNING.blockedShare * due;
}

/** Light that a shot throws on each tube; null where that isn't known. */
function aimedAt(shot: Shot, even: CellLight, array: ArraySpec): Float64Array | null {
  if (shot.kind === 'lamp' || shot.kind === 'pair') return expectedLight(shot, array);
  if (shot.kind !== 'single') return null;
  const aimed = new Float64Array(even.flux.length);
  aimed[indexOf(shot, array, even)] = 1;
  return aimed;
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
      return judgeLamps(light, reference, expectedLight(shot, array));
    case 'single':
      return judgeSingle(light, reference, indexOf(shot, array, light));
    default:
      return null;
  }
}
