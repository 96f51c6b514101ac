import type { ArrayGeometry } from '../array/array.js';
import { angularPitch, lampSeparationCells, lampSpreadCells } from '../array/lamp-image.js';
import { requireInside, requirePositive } from '../check.js';
import type { Acceptance } from '../tube/acceptance.js';
import { isSeparate } from './criterion.js';
import { nudgedDip } from './lattice-dip.js';
import { pairDip } from './pair-dip.js';

/** What theory expects of one pair of lamps. */
export interface PairPrediction {
  /** Full width at half maximum of one lamp's light. */
  readonly spreadCells: number;
  /** The light of one lamp covers less than a cell: lamps can fall into blind gaps. */
  readonly undersampled: boolean;
  /** Of the continuous response; where undersampled, what the cells show, mean over nudges. */
  readonly dip: number;
  /** Share of the nudges that separate; 0 or 1 where well sampled. */
  readonly shareSeparate: number;
}

const NUDGES = 64;

/**
 * Predicted dip between two equal lamps side by side, before the middle of an array of equal, well-aimed tubes.
 *
 * @param acceptance - of one tube, for a lamp at this distance
 * @param spacingMm - between the lamps
 * @param distanceMm - of the lamps from the front face
 * @param required - the least dip that counts as separate
 *
 * Where the array samples well, the dip is that of the continuous response, which depends only on the acceptance
 * and the angle spacing/distance. Where it is undersampled it is counted on the lattice, see {@link nudgedDip}.
 */
export function predictPair(
  array: ArrayGeometry,
  acceptance: Acceptance,
  spacingMm: number,
  distanceMm: number,
  required: number,
): PairPrediction {
  requireInside('required', required, 0, 1);
  const separationCells = lampSeparationCells(array, spacingMm, distanceMm);
  const spreadCells = lampSpreadCells(array, acceptance.widthRad, distanceMm);
  const undersampled = spreadCells < 1;
  const pitch = angularPitch(array, distanceMm);
  const response = (across: number, up: number) => acceptance.at(across * pitch, up * pitch);
  if (undersampled) {
    const { meanDip, shareSeparate } = nudgedDip(array, response, separationCells, required, NUDGES);
    return { spreadCells, undersampled, dip: meanDip, shareSeparate };
  }
  const { dip } = pairDip((x) => response(x, 0), separationCells, spreadCells);
  const shareSeparate = isSeparate(dip, required) ? 1 : 0;
  return { spreadCells, undersampled, dip, shareSeparate };
}

/** The farthest distance at which two lamps meet the criterion. */
export interface ResolvingDistance {
  /**
   * `within`: the criterion is crossed in the range looked at; `beyond`: still met at its far end, which distanceMm
   * then is; `nearer`: met nowhere, distanceMm is the near end.
   */
  readonly bound: 'within' | 'beyond' | 'nearer';
  readonly distanceMm: number;
}

const SEARCH_STEPS = 80;
const BISECTIONS = 30;

/**
 * Predicted resolving distance: where the dip of {@link predictPair} falls through the criterion for good.
 *
 * @param acceptanceAt - acceptance of one tube for a lamp at the given distance, mm
 * @param spacingMm - between the lamps
 * @param required - the least dip that counts as separate
 * @param nearestMm - where the search ends
 * @param farthestMm - where it begins: the length of the room
 */
export function resolvingDistance(
  array: ArrayGeometry,
  acceptanceAt: (distanceMm: number) => Acceptance,
  spacingMm: number,
  required: number,
  nearestMm: number,
  farthestMm: number,
): ResolvingDistance {
  requirePositive('nearestMm', nearestMm);
  if (!(farthestMm > nearestMm && farthestMm < Infinity)) {
    throw new RangeError(`farthestMm must be above nearestMm (${nearestMm}), got ${farthestMm}`);
  }
  const separates = (distanceMm: number) =>
    isSeparate(predictPair(array, acceptanceAt(distanceMm), spacingMm, distanceMm, required).dip, required);
  if (separates(farthestMm)) return { bound: 'beyond', distanceMm: farthestMm };
  const ratio = (nearestMm / farthestMm) ** (1 / SEARCH_STEPS);
  for (let i = 1; i <= SEARCH_STEPS; i++) {
    const distanceMm = farthestMm * ratio ** i;
    if (!separates(distanceMm)) continue;
    let near = distanceMm;
    let far = distanceMm / ratio;
    for (let j = 0; j < BISECTIONS; j++) {
      const middle = (near + far) / 2;
      if (separates(middle)) near = middle;
      else far = middle;
    }
    return { bound: 'within', distanceMm: near };
  }
  return { bound: 'nearer', distanceMm: nearestMm };
}
