import type { ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture, FirstPlaces } from './cells-on-picture.js';
import { fitProfile } from './fit-profile.js';
import {
  changeOf,
  fitInputOf,
  frameOf,
  giveRoundBack,
  learnCommon,
  lightsOf,
  type Round,
  referenceCellsOf,
  solveRound,
} from './learning-round.js';
import { weightsOf } from './noise.js';
import { fitOpenHoles } from './open-holes.js';
import { middlesOfLight, moveCells, placedByLight, placeOthers } from './place-cells.js';
import { blend, tileGrid, tileMembers } from './profile-tiles.js';
import { refineView } from './refine-view.js';
import type { Region } from './region.js';
import { ownRoom, type Room } from './room.js';
import { roughSheet } from './rough-sheet.js';
import type { ShotSolution } from './solve-shot.js';
import { HARMONICS, type SpotProfile } from './spot-profile.js';
import type { Stamps } from './stamps.js';
import {
  LEAST_REFERENCES,
  LEAST_ROUNDS,
  MOST_NOISE_PIXELS,
  ROUGH_NOISE_PIXELS,
  ROUND_PIXELS,
  SETTLED_SIGMAS,
} from './tuning.js';
import { isVeiled, withoutVeil } from './veil.js';
import { type Wings, wingLight } from './wings.js';

/** Limit of computing time: rounds on the whole picture. */
const MOST_ROUNDS = 4;

/** How cells look on the sheet, learned from the even shot; every other shot is measured with it. Plain data. */
export interface SheetModel {
  readonly cells: CellsOnPicture;
  /** Each cell's. */
  readonly profiles: readonly SpotProfile[];
  readonly wings: Wings;
  /** Pixels that count. */
  readonly region: Region;
  /** Width and height of the reduced pictures. */
  readonly width: number;
  readonly height: number;
}

/** The model with the even shot's own solution. */
export interface LearnedSheet {
  readonly model: SheetModel;
  /** Each cell's middle of light on the reduced picture. */
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  readonly stamps: Stamps;
  readonly solution: ShotSolution;
  readonly weights: Float32Array;
  /** 'settled': the last rough round changed the lights by less than their uncertainty. */
  readonly stopped: 'settled' | 'round-limit';
}

const WHOLE = { pixels: 8_000, harmonics: HARMONICS };
const TILE = { pixels: 4_000, harmonics: HARMONICS };

/**
 * Learns cells' places, their profile and the wings from the even shot, all in turn: first roughly, with a round
 * profile, then with what the camera does to it, then its departures from roundness, in a large array for each part
 * of it; at last those of empty holes.
 *
 * @param photo - even shot, reduced, dark frame off
 * @param first - first places of the cells
 * @param array - whether hexagonal, and the bore in pitches for a start
 * @param room - gives the stamps and pictures of all rounds; those of the last one are returned
 */
export function learnSheet(
  photo: ReducedPhoto,
  first: FirstPlaces,
  array: { hexagonal: boolean; borePitches: number },
  room: Room = ownRoom,
): LearnedSheet {
  const { width, height } = photo;
  const picture = isVeiled(first.cells, width, height) ? withoutVeil(photo, first.cells) : photo;
  const rough = roughSheet(picture, first, array.hexagonal, array.borePitches, room);
  const { stopped } = rough;
  const frame = frameOf(picture, rough.cells, first.filled, rough.pairs);
  let { cells, flux } = rough;
  let weights = weightsOf(rough.noise, picture.data, frame.usable, room.take(picture.data.length));
  let common = learnCommon(frame, { flux, background: rough.background, weights }, cells, ROUND_PIXELS);
  let round: Round;
  for (let count = 1; ; count++) {
    const { profile, light } = common;
    const draft = { cells, profileOf: () => profile, wings: light, weights };
    round = solveRound(frame, draft, ROUGH_NOISE_PIXELS, room);
    room.giveBack(weights);
    const { stamps, solution, typical } = round;
    const settled = count >= LEAST_ROUNDS && changeOf(flux, solution).unevenSigmas < SETTLED_SIGMAS;
    ({ flux } = solution);
    ({ weights } = round);
    const known = placedByLight(round, first.found);
    const fitting = moveCells(cells, stamps, solution, weights, width, known);
    const viewed = refineView(fitting, stamps, solution, weights, width, typical, first);
    cells = placeOthers(viewed, first, known);
    giveRoundBack(round, room);
    if (settled || count === MOST_ROUNDS) break;
    common = learnCommon(frame, lightsOf(round), cells, ROUND_PIXELS);
  }

  const { profile, wings } = common;
  const light = wingLight(cells, flux, wings);
  const input = fitInputOf(frame, lightsOf(round), cells, light);
  const grid = tileGrid(first);
  const groups = tileMembers(grid);
  const effort = groups.length > 1 ? TILE : WHOLE;
  const isReference = new Set(referenceCellsOf(frame, flux));
  const tiles = groups.map((group) => {
    if (group.filter(round.typical).length < LEAST_REFERENCES) return profile;
    const references = group.filter((k) => isReference.has(k));
    return fitProfile(input, references, null, effort).profile;
  });
  const ofTubes = blend({ ...grid, tiles });
  const holes = Array.from(flux.keys()).filter((k) => first.filled[k] === 0 && round.bright(k));
  const ofHoles = holes.length < LEAST_REFERENCES ? profile : fitProfile(input, holes, null, effort).profile;
  const tubesOnly = {
    cells,
    profileOf: (k: number) => (first.filled[k] === 1 ? ofTubes(k) : ofHoles),
    wings: light,
    weights,
  };
  const solved = solveRound(frame, tubesOnly, MOST_NOISE_PIXELS, room);
  const { draft, round: last } = fitOpenHoles(frame, tubesOnly, solved, room);
  const { stamps, solution } = last;
  const { profileOf } = draft;
  const profiles = Array.from(draft.cells.x, (_, k) => profileOf(k));
  const model = { cells: draft.cells, profiles, wings, region: frame.region, width, height };
  const middles = middlesOfLight(draft.cells, profileOf);
  return { model, middles, stamps, solution, weights, stopped };
}
