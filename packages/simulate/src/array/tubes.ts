import {
  latticePlace,
  mapAt,
  type Place,
  placeLayout,
  seededRandom,
  type Slopes,
  type TubeLayout,
  tubeLayout,
} from '@twolamp/optics';
import type { ListedFault } from '../plan/faults-format.js';
import type { Plan } from '../plan/plan-format.js';
import { STREAM } from '../streams.js';
import { everyPlace, type GridPlace, inMm } from './every-place.js';
import { placeFaults } from './place-faults.js';

/** One place of the array as built: a tube with its quirks, or an empty hole. */
export interface Tube {
  readonly row: number;
  readonly column: number;
  /** Middle of its end at the sheet. */
  readonly back: Place;
  /** Middle of its end in the front grid. */
  readonly front: Place;
  /** Of the straight line from back to front. */
  readonly chord: Slopes;
  /** That line and its front end in an array without jitter and faults. */
  readonly nominalChord: Slopes;
  readonly nominalFront: Place;
  /** Light it passes against a clean tube of the same shape: 1 = clean, 0 = blocked. */
  readonly clarity: number;
  readonly bowMm: number;
  /** Direction in which the middle of a bent tube stands out. */
  readonly bowRad: number;
  /** An empty hole that lets light through. */
  readonly isOpen: boolean;
  /** A hole that waits for its tube: it is open, and no fault. */
  readonly isUnfilled: boolean;
  readonly fault: ListedFault | undefined;
}

/** Transmission never strays so far by scatter alone that a tube counts as weak or leaves the physical range. */
const MOST_SCATTER_SIGMAS = 3;

/**
 * The array as built: a place for each tube with jitter, bulge and faults drawn from the plan's seed.
 *
 * Chance is drawn for all rows × columns, so that a half-built array and the finished one share their tubes.
 *
 * @returns tubes and unfilled holes that let light through, numbered as {@link litLayout} has them
 */
export function buildTubes(plan: Plan): Tube[] {
  const { array, build } = plan;
  const placement = seededRandom(plan.seed, STREAM.placement);
  const pointing = seededRandom(plan.seed, STREAM.pointing);
  const scatter = seededRandom(plan.seed, STREAM.transmission);
  const faults = placeFaults(plan, seededRandom(plan.seed, STREAM.faults));
  const pointingJitterMm = array.tubeLengthMm * Math.tan((build['pointing-jitter'] * Math.PI) / 180);
  return everyPlace(array)
    .map((at, index) => {
      const { row, column } = at;
      const unfilled = mapAt(array, row, column) === 'o';
      const fault = unfilled ? undefined : faults.get(index);
      const nominalBack = bulged(plan, at, inMm(at, array.backPitchMm), 1);
      const nominalFront = bulged(
        plan,
        at,
        inMm(at, array.frontPitchMm),
        array.frontPitchMm / array.backPitchMm,
      );
      const shift = fault?.fault === 'misaimed' ? fault : { across: 0, up: 0 };
      const back = jittered(nominalBack, build['placement-jitter'], placement.normal(), placement.normal());
      const front = jittered(nominalFront, pointingJitterMm, pointing.normal(), pointing.normal());
      const brightness = 1 + build['transmission-scatter'] * limited(scatter.normal());
      const placedFront = { acrossMm: front.acrossMm + shift.across, upMm: front.upMm + shift.up };
      return {
        row,
        column,
        back,
        front: placedFront,
        chord: slopesBetween(back, placedFront, array.tubeLengthMm),
        nominalChord: slopesBetween(nominalBack, nominalFront, array.tubeLengthMm),
        nominalFront,
        clarity: unfilled ? 1 : clarityOf(fault, brightness),
        bowMm: fault?.fault === 'bent' ? fault.bow : 0,
        bowRad: fault?.fault === 'bent' ? (fault.direction * Math.PI) / 180 : 0,
        isOpen: unfilled || fault?.fault === 'open',
        isUnfilled: unfilled,
        fault,
      };
    })
    .filter(({ row, column }) => litLayout(plan).at(row, column) >= 0);
}

/** Where light may come through: all tubes, and the unfilled holes unless they are covered. */
export function litLayout({ array }: Plan): TubeLayout {
  return array.unfilled === 'open' ? placeLayout(array) : tubeLayout(array);
}

/** Which of the tubes a single shot lights, by its number from 0. */
export function litIndexOf(
  plan: Plan,
  shot: { row?: number | undefined; column?: number | undefined; tube?: number | undefined },
): number {
  return shot.tube === undefined ? litLayout(plan).at(shot.row ?? 0, shot.column ?? 0) : shot.tube - 1;
}

/** A grid is drilled for the tubes' outside, and little of it is left between the holes (common practice, no source). */
const HOLE_PER_PITCH = 0.95;

/** Width of an empty hole in the grids, and of the channel that the neighbours' outsides leave in between. */
export function openHoleMm(plan: Plan): number {
  return plan.faults['open-hole'] ?? Math.max(plan.array.tubeBoreMm, HOLE_PER_PITCH * plan.array.backPitchMm);
}

function clarityOf(fault: ListedFault | undefined, scatter: number): number {
  switch (fault?.fault) {
    case 'blocked':
      return 0;
    case 'weak':
      return fault.transmission * scatter;
    case 'open':
      return 1;
    default:
      return scatter;
  }
}

function limited(sigmas: number): number {
  return Math.max(-MOST_SCATTER_SIGMAS, Math.min(MOST_SCATTER_SIGMAS, sigmas));
}

/** The middle of each side stands out by the bulge, the corners stay; in between it falls off like a parabola. */
function bulged(plan: Plan, here: GridPlace, place: Place, scale: number): Place {
  const bulgeMm = plan.build['outline-bulge'] * scale;
  if (bulgeMm === 0) return place;
  const corner = latticePlace(plan.array, 1, 1);
  const x = here.across / Math.abs(corner.across);
  const y = here.up / Math.abs(corner.up);
  return {
    acrossMm: place.acrossMm + bulgeMm * x * (1 - y * y),
    upMm: place.upMm + bulgeMm * y * (1 - x * x),
  };
}

function jittered(place: Place, sigmaMm: number, across: number, up: number): Place {
  return { acrossMm: place.acrossMm + sigmaMm * across, upMm: place.upMm + sigmaMm * up };
}

function slopesBetween(back: Place, front: Place, lengthMm: number): Slopes {
  return {
    across: (front.acrossMm - back.acrossMm) / lengthMm,
    up: (front.upMm - back.upMm) / lengthMm,
  };
}
