import type { Lattice } from '../lattice/find-lattice.js';
import { type ReducedPhoto, reducePlane } from '../light/plane.js';
import { median } from '../statistics/robust.js';
import { cellsOnPicture, rescaled } from './cells-on-picture.js';
import { roundFootprint } from './footprint.js';
import { NO_HALO } from './halo.js';
import { type Draft, frameOf, learnCommon, solveRound } from './learning-round.js';
import { moveCells, rewarped } from './place-cells.js';
import type { ShotSolution } from './solve-shot.js';

/** Pixels a pitch that are enough for a first idea of the sheet. */
const ROUGH_PITCH_PX = 7;
const ROUNDS = 12;
/** Median change of the lights, in standard uncertainties, at which the rounds end. */
const SETTLED = 0.3;
const PIXELS = 8_000;
/** Softness of the spot's edge for a start, in pitches. */
const START_EDGE = 0.08;

/** A first idea of the sheet: cells' places, one round footprint for all, halo. */
export interface RoughSheet extends Omit<Draft, 'weights'> {
  /** 'settled': the last round changed the lights by less than their uncertainty. */
  readonly stopped: 'settled' | 'round-limit';
}

function shrunk(picture: ReducedPhoto, by: number): ReducedPhoto {
  const clipped = reducePlane({ ...picture, data: picture.clipped }, by).data;
  return { ...reducePlane(picture, by), factor: picture.factor * by, clipped };
}

/** Median change of the lights in their standard uncertainties, neighbours not counted. */
function changeOf(before: Float64Array, { flux, matrix }: ShotSolution): number {
  return median(flux.map((value, k) => Math.abs(value - before[k]!) * Math.sqrt(matrix.diagonal[k]!)));
}

/**
 * Cells' places, a round footprint and the halo, learned in turn until they agree; on a picture shrunk as far as cells
 * stay apart, since many rounds are needed.
 *
 * @param picture - even shot, reduced, dark frame off
 * @param lattice - first places of the cells
 * @param hexagonal - arrangement of the cells
 * @param borePitches - bore in pitches, for a start
 * @returns places and lights in pixels of `picture`
 */
export function roughSheet(
  picture: ReducedPhoto,
  lattice: Lattice,
  hexagonal: boolean,
  borePitches: number,
): RoughSheet {
  const by = Math.max(1, Math.round(lattice.pitchPx / ROUGH_PITCH_PX));
  let cells = rescaled(cellsOnPicture(lattice, hexagonal), 1 / by);
  const frame = frameOf(shrunk(picture, by), cells);
  let footprint = roundFootprint(borePitches / 2, START_EDGE);
  let halo = NO_HALO;
  let flux: Float64Array | null = null;
  let weights: Float32Array = Float32Array.from(frame.usable);
  for (let count = 1; ; count++) {
    const footprintOf = () => footprint;
    const round = solveRound(frame, { cells, footprintOf, halo, flux, weights });
    const settled = flux !== null && changeOf(flux, round.solution) < SETTLED;
    ({ flux } = round.solution);
    weights = round.weights;
    const moved = moveCells(cells, round.patches, round.solution, weights, frame.picture.width, round.bright);
    cells = rewarped(moved, lattice, hexagonal, round.bright);
    ({ footprint, halo } = learnCommon(frame, round, cells, PIXELS));
    if (settled || count === ROUNDS) {
      return {
        cells: rescaled(cells, by),
        footprintOf,
        halo,
        flux: flux.map((light) => light * by * by),
        stopped: settled ? 'settled' : 'round-limit',
      };
    }
  }
}
