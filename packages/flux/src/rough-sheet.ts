import { NARROW_PITCHES, reducePlane } from '@twolamp/places';
import type { ReducedPhoto } from '@twolamp/session';
import type { BackgroundPlane } from './background-plane.js';
import { type CellsOnPicture, type FirstPlaces, rescaled } from './cells-on-picture.js';
import {
  type Change,
  changeOf,
  frameOf,
  giveRoundBack,
  learnCommon,
  lightsOf,
  solveRound,
} from './learning-round.js';
import type { Noise } from './noise.js';
import type { Pairs } from './overlapping-pairs.js';
import { moveCells, placedByLight, placeOthers, rewarped } from './place-cells.js';
import { refineView } from './refine-view.js';
import type { Room } from './room.js';
import { roundProfile } from './spot-profile.js';
import {
  ROUGH_NOISE_PIXELS,
  ROUGH_PITCH_PX,
  ROUGH_ROUNDS,
  SETTLED_SHARE,
  SETTLED_SIGMAS,
  START_EDGE_PITCHES,
  VIEW_SIGMAS,
} from './tuning.js';
import type { CoarseLight } from './wings.js';

/** Limit of computing time: more pixels change the rough profile by less than its noise. */
const ROUGH_PIXELS = 5_000;

/** A first idea of the sheet: cells' places as the camera sees them, and their lights. */
export interface RoughSheet {
  readonly cells: CellsOnPicture;
  readonly flux: Float64Array;
  readonly background: BackgroundPlane;
  /** Of a pixel of the picture, were the pixels' noise white. */
  readonly noise: Noise;
  /** Cells that meet. */
  readonly pairs: Pairs;
  /** 'settled': the last round changed the lights against each other by less than their uncertainty. */
  readonly stopped: 'settled' | 'round-limit';
}

function shrunk(picture: ReducedPhoto, by: number): ReducedPhoto {
  const { width, height, data } = reducePlane(picture, by);
  const clipped =
    picture.clipped &&
    reducePlane({ width: picture.width, height: picture.height, data: picture.clipped }, by).data;
  return { width, height, data, clipped, factor: picture.factor * by };
}

/** What all lights have in common, the rounds on the whole picture still change: so much is left to them. */
function isSettled({ common, unevenSigmas }: Change): boolean {
  return unevenSigmas < SETTLED_SIGMAS && Math.abs(common - 1) < SETTLED_SHARE;
}

/**
 * Cells' places, a round profile and the wings, learned in turn until they agree; on a picture shrunk as far as cells
 * stay apart, since many rounds are needed.
 *
 * @param picture - even shot, reduced, dark frame off
 * @param first - first places of the cells
 * @param hexagonal - arrangement of the cells
 * @param borePitches - bore in pitches, for a start
 * @returns places and lights in pixels of `picture`
 */
export function roughSheet(
  picture: ReducedPhoto,
  first: FirstPlaces,
  hexagonal: boolean,
  borePitches: number,
  room: Room,
): RoughSheet {
  const by = Math.max(1, Math.round((first.cells.unit * first.pitchPx) / ROUGH_PITCH_PX));
  let cells = rescaled(first.cells, 1 / by);
  const frame = frameOf(shrunk(picture, by), cells, first.filled);
  const { width } = frame.picture;
  const narrow = first.cells.unit < 1;
  let profile = roundProfile((narrow ? NARROW_PITCHES : borePitches) / 2, START_EDGE_PITCHES);
  let wings: CoarseLight | null = null;
  let flux: Float64Array | null = null;
  let weights: Float32Array = Float32Array.from(frame.usable);
  let viewing = false;
  for (let count = 1; ; count++) {
    const round = solveRound(
      frame,
      { cells, profileOf: () => profile, wings, weights },
      ROUGH_NOISE_PIXELS,
      room,
    );
    room.giveBack(weights);
    const { stamps, solution, typical } = round;
    const change = flux && changeOf(flux, solution);
    const settled = viewing && change !== null && isSettled(change);
    // Earlier, the profile is so wrong that the stretch would make up for it.
    viewing ||= change !== null && change.sigmas < VIEW_SIGMAS;
    ({ flux } = solution);
    ({ weights } = round);
    const known = placedByLight(round, first.found);
    const moved = moveCells(cells, stamps, solution, weights, width, known);
    cells = viewing
      ? placeOthers(refineView(moved, stamps, solution, weights, width, typical, first), first, known)
      : rewarped(moved, first, hexagonal, known);
    giveRoundBack(round, room);
    if (settled || count === ROUGH_ROUNDS) {
      room.giveBack(weights);
      return {
        cells: rescaled(cells, by),
        flux: flux.map((light) => light * by * by),
        background: solution.background,
        noise: { floor: round.noise.floor * by * by, gain: round.noise.gain * by * by },
        pairs: frame.region.pairs,
        stopped: settled ? 'settled' : 'round-limit',
      };
    }
    ({ profile, light: wings } = learnCommon(frame, lightsOf(round), cells, ROUGH_PIXELS));
  }
}
