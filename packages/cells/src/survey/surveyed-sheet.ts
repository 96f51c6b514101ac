import { UnsolvableError } from '@twolamp/numeric';
import type { PackedPlace } from '@twolamp/optics';
import {
  type ArraySpec,
  type EvenShot,
  type Finding,
  finding,
  namedPlaces,
  InputError,
  type ReducedPhoto,
  type ShotPhoto,
} from '@twolamp/session';
import {
  type CellLight,
  type FirstPlaces,
  firstPlaces,
  type LearnedSheet,
  learnSheet,
  lightOf,
  lightOfCells,
  nearCells,
  type Room,
  type SheetModel,
  sheetScatter,
  withLentRoom,
} from '@twolamp/flux';
import {
  type ArrayPlace,
  type BackDepartures,
  backDepartures,
  FARTHEST_FROM_LATTICE,
  findPlaces,
  MOST_FAR_SHARE,
  packedPlaces,
  type UnfilledPlace,
} from '@twolamp/places';
import { averageDarks, type DarkFrame, smoothDark, takeDarkOff } from '../light/dark.js';
import type { Exposure } from '../light/exposure.js';
import { evenRange } from '../photo-kinds/judge-photo.js';
import { lookAt, type PhotoLook, type SpotLight, spotLight } from '../photo-kinds/photo-look.js';
import { boreDoubt, seenBorePitches } from '../photo-kinds/seen-bore.js';
import { TUNING } from '../photo-kinds/tuning.js';

/** Share of cells that may be clipped in the even shot before it is refused. */
const CLIPPED_CELLS_SHARE = 0.2;

/** The even shot in which the cells were found. Plain data. */
export interface FoundCells {
  readonly first: FirstPlaces;
  /** Stated holes without a tube, in pixels of the reduced picture. */
  readonly unfilled: readonly UnfilledPlace[];
  /** Where light is seen and no tube is stated. */
  readonly litUnstated: readonly ArrayPlace[];
  /** The even shot, reduced, as it is. */
  readonly picture: ReducedPhoto;
  /** Size of the photo. */
  readonly width: number;
  readonly height: number;
  readonly look: PhotoLook;
}

/** What every other shot is measured with: how the cells look on the sheet, and the stray light. Plain data. */
export interface SurveyedSheet {
  /** Of all cells: the tubes, and holes that let light through. */
  readonly model: SheetModel;
  /** Which of the model's cells are tubes; what follows is of these, in the same order. */
  readonly tubes: readonly number[];
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  readonly sheetScatter: number;
  readonly backDepartures: BackDepartures | null;
  /** Packed only: where the tubes end at the sheet. */
  readonly places: readonly PackedPlace[] | null;
  /** Averaged by exposure, without noise. */
  readonly darks: readonly DarkFrame[];
  readonly factor: number;
  /** The even shot's own light, full scale × pixels of the reduced picture. */
  readonly light: CellLight;
  /** The even shot at the cells' places, without stray light. */
  readonly spotLight: SpotLight;
  readonly findings: readonly Finding[];
}

/** Which of the found cells are tubes. */
export function tubesOf({ filled }: FirstPlaces): number[] {
  return Array.from(filled.keys()).filter((k) => filled[k] === 1);
}

/**
 * Finds the cells in the even shot.
 *
 * @throws InputError where they can't be found as stated
 */
export function findCells(even: ShotPhoto, array: ArraySpec, name: string): FoundCells {
  const { lattice, picture } = findPlaces(even, array, name);
  const first = firstPlaces(lattice, array.arrangement === 'hexagonal');
  const { unfilled, litUnstated } = lattice;
  const look = lookAt(picture, first.cells, tubesOf(first), array.arrangement);
  return { first, unfilled, litUnstated, picture, width: even.width, height: even.height, look };
}

/**
 * Learns how the cells look on the sheet from the even shot.
 *
 * @param exposure - of the even shot
 * @param frames - dark frames, reduced as the even shot is
 * @throws InputError where the even shot is clipped all over
 */
export function surveySheet(
  found: FoundCells,
  shot: EvenShot,
  exposure: Exposure,
  frames: readonly DarkFrame[],
  array: ArraySpec,
): SurveyedSheet {
  return withLentRoom((room) => surveyIn(room, found, shot, exposure, frames, array));
}

function surveyIn(
  room: Room,
  { first, picture }: FoundCells,
  shot: EvenShot,
  exposure: Exposure,
  frames: readonly DarkFrame[],
  array: ArraySpec,
): SurveyedSheet {
  const { u, v, pitchPx } = first;
  const sheetPixels = nearCells(
    { x: first.cells.x, y: first.cells.y, pitchPx },
    picture.width,
    picture.height,
  );
  const darks = averageDarks(frames).map((dark) => smoothDark(dark, sheetPixels, pitchPx));
  const clear = takeDarkOff(picture, exposure, darks);
  const figures = {
    hexagonal: array.arrangement === 'hexagonal',
    borePitches: array.tubeBoreMm / array.backPitchMm,
  };
  const sheet = learnable(clear, first, shot, figures, room);
  const { model } = sheet;
  requireNearSpots(first, sheet.middles, shot);
  const tubes = tubesOf(first);
  const all = lightOf(sheet.solution, clear, sheet.stamps, sheet.weights, model);
  const light = lightOfCells(all, tubes);
  const spots = spotLight(clear, model.cells, tubes, array.arrangement);
  const bore = boreDoubt(array, seenBorePitches(clear, model.cells, tubes, spots));
  const findings = [...judgeClipping(light, array, shot), ...bore];
  const ofTubes = (values: Float64Array) => Float64Array.from(tubes, (k) => values[k]);
  requireEven(light, { u: ofTubes(u), v: ofTubes(v) }, shot);
  const middles = { x: ofTubes(sheet.middles.x), y: ofTubes(sheet.middles.y) };
  const packed = array.arrangement === 'packed';
  return {
    model,
    tubes,
    u: ofTubes(u),
    v: ofTubes(v),
    middles,
    sheetScatter: sheetScatter(sheet),
    backDepartures: packed ? null : backDepartures(array, middles),
    places: packed ? packedPlaces(middles, array.backPitchMm) : null,
    darks,
    factor: picture.factor,
    light,
    spotLight: spots,
    findings,
  };
}

/** Refuses an even shot that is clipped all over; where a few cells are, names them. */
export function judgeClipping(light: CellLight, array: ArraySpec, shot: EvenShot): Finding[] {
  const cells = Array.from(light.clipped.keys()).filter((k) => light.clipped[k]);
  if (cells.length === 0) return [];
  if (cells.length > CLIPPED_CELLS_SHARE * light.clipped.length) {
    throw new InputError(
      shot.photo,
      `the even shot is clipped in ${cells.length} of ${light.clipped.length} cells: too bright to measure`,
      'a shorter exposure, with the brightest cells below the top of the scale',
    );
  }
  return [finding('even-clipped', shot.photo, { clipped: cells.length, first: namedPlaces(array, cells) })];
}

/** Refuses a first even shot that a single lamp lit: every other photo is held against it. */
function requireEven(light: CellLight, places: Parameters<typeof evenRange>[1], shot: EvenShot): void {
  const range = evenRange(light, places);
  if (range === null || range >= TUNING.evenRange) return;
  throw new InputError(
    shot.photo,
    `its light falls off to ${(100 * range).toPrecision(2)} % across the array, as a lamp's does`,
    'the whole array, evenly lit',
  );
}

/** The sheet, or a refusal where the picture doesn't hold what is to be learned. */
function learnable(
  picture: ReducedPhoto,
  first: FirstPlaces,
  shot: EvenShot,
  array: Parameters<typeof learnSheet>[2],
  room: Room,
): LearnedSheet {
  try {
    return learnSheet(picture, first, array, room);
  } catch (error) {
    if (!(error instanceof UnsolvableError)) throw error;
    throw new InputError(
      shot.photo,
      'spots were found, but their light could not be separated from each other and from the background',
      'spots that are clear of their neighbours, evenly lit, in focus, not clipped',
    );
  }
}

/** Refuses a sheet whose cells' light was fitted elsewhere than where their spots were found. */
function requireNearSpots(
  { cells, found, pitchPx }: FirstPlaces,
  middles: { readonly x: Float64Array; readonly y: Float64Array },
  shot: EvenShot,
): void {
  const seen = Array.from(found.keys()).filter((k) => found[k] === 1);
  const far = seen.filter((k) => {
    const miss = Math.hypot(middles.x[k] - cells.x[k], middles.y[k] - cells.y[k]);
    return !(miss < FARTHEST_FROM_LATTICE * pitchPx);
  });
  if (far.length <= Math.max(1, MOST_FAR_SHARE * seen.length)) return;
  throw new InputError(
    shot.photo,
    `the light of ${far.length} of ${seen.length} cells could not be fitted where their spots are`,
    'round spots at least 2 pixels wide, in focus, that look alike all over the sheet',
  );
}
