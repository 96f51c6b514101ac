import type { Survey } from '@twolamp/cells';
import { averageLights, type CellLight, type LitShot } from '@twolamp/flux';
import type { ArrayGeometry } from '@twolamp/optics';
import type { EvenShot, PairShot, Session } from '@twolamp/session';
import { lampSizeOf, learnArrayResponse, measurePair, viewLamps } from '@twolamp/resolving';
import { relativeTransmission } from './transmission/relative.js';

/** A pair whose distance nobody measured. */
export interface PairBySeparation {
  readonly dip: number;
  readonly dipUncertainty: number;
  readonly separate: boolean;
  /** As the lamps' separation on the sheet tells it. */
  readonly distanceMm: number;
  /** Whether the distance came to rest within {@link SETTLED}. */
  readonly stopped: 'settled' | 'step-limit';
}

/** Two rounds agree when the distance changes by less than this share; far less than it changes the dip. */
const SETTLED = 0.005;
const MOST_ROUNDS = 6;
/** The separation is found in one linear step, which holds for no more than this factor. */
const BOLDEST = 1.5;
/** Below this spread of the axes, per tube length, the separation hardly depends on the distance. */
const LEAST_SPREAD = 0.02;

/**
 * The distance at which two lamps lie so many cells apart: δ = s ÷ (p + (p − b)·D/L), with the pitches p at the front and b
 * at the back, solved for D.
 */
function distanceOf(array: ArrayGeometry, spacingMm: number, separationCells: number): number {
  const perMm = (array.frontPitchMm - array.backPitchMm) / array.tubeLengthMm;
  return (spacingMm / separationCells - array.frontPitchMm) / perMm;
}

/** Whether the lamps' separation tells their distance: the tubes must lean apart enough. */
export function tellsDistance({ frontPitchMm, backPitchMm }: ArrayGeometry): boolean {
  return (frontPitchMm - backPitchMm) / frontPitchMm >= LEAST_SPREAD;
}

/**
 * Dip of a pair of lamps at a distance that only their images tell, for lamps that are carried away while one looks on.
 *
 * The array's response is learned from pairs at known distances together with this one; its distance is what makes its
 * images lie where they do, found in rounds: a pair read at a guessed distance tells a better guess.
 *
 * @param survey - its even shots give the cells; its pairs stand at known distances, at least one clearly separate
 * @param shot - the pair, its distance a guess such as where it was last
 * @returns null where too few cells are lit to tell
 * @throws RangeError where the array's tubes hardly lean apart: see {@link tellsDistance}
 */
export function dipBySeparation(
  session: Session,
  survey: Survey,
  { shot, light }: LitShot<PairShot>,
): PairBySeparation | null {
  const { array, criterion } = session;
  if (!tellsDistance(array)) throw new RangeError('array must have tubes that lean apart');
  const evens = survey.lit.filter((one): one is LitShot<EvenShot> => one.shot.kind === 'even');
  const known = survey.lit.filter((one): one is LitShot<PairShot> => one.shot.kind === 'pair');
  const even: CellLight = averageLights(evens.map((one) => one.light));
  const { relative } = relativeTransmission(even, survey.u, survey.v, survey.sheetScatter);
  let { distanceMm } = shot;
  for (let round = 1; ; round++) {
    const now = { shot: { ...shot, distanceMm }, light };
    const response = learnArrayResponse(
      array,
      [...known, now].map((one) => viewLamps(array, one, relative, lampSizeOf(session).diameterMm)),
    );
    const at = known.length;
    const pair =
      response &&
      measurePair(array, response.views[at], now.shot, response, response.fits[at], criterion.requiredDip);
    if (!pair || pair.separationCells === null) return null;
    const found = distanceOf(array, shot.spacingMm, pair.separationCells);
    const next = Math.min(distanceMm * BOLDEST, Math.max(distanceMm / BOLDEST, found || 0));
    const settled = Math.abs(next - distanceMm) < SETTLED * distanceMm;
    if (settled || round === MOST_ROUNDS) {
      const { dip, dipUncertainty, separate } = pair;
      return { dip, dipUncertainty, separate, distanceMm: next, stopped: settled ? 'settled' : 'step-limit' };
    }
    distanceMm = next;
  }
}
