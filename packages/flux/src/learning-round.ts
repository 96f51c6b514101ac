import { median } from '@twolamp/numeric';
import type { ReducedPhoto } from '@twolamp/session';
import type { CellsOnPicture } from './cells-on-picture.js';
import { type FitInput, fitProfile } from './fit-profile.js';
import { type Noise, noiseFromResidual, weightsOf } from './noise.js';
import { weighted } from './normal-equations.js';
import { neighboursOf, type Pairs } from './overlapping-pairs.js';
import { barePixels, type Region, regionOf, usablePixels } from './region.js';
import type { Room } from './room.js';
import { type ShotSolution, solveShot } from './solve-shot.js';
import type { SpotProfile } from './spot-profile.js';
import { makeStamps, reachedPixels, type Stamps } from './stamps.js';
import { BRIGHT_SHARE, LEAST_BARE_SHARE, TYPICAL_SHARES } from './tuning.js';
import { betweenCells, isVeiled } from './veil.js';
import { type CoarseLight, type Wings, wingParts, wingsOf } from './wings.js';

/** The even shot with what stays the same while the sheet is learned from it. */
export interface Frame {
  readonly picture: ReducedPhoto;
  readonly region: Region;
  readonly usable: Uint8Array;
  /** Counted pixels that no profile reaches: there the background lies bare. */
  readonly bare: Int32Array;
  /** Enough of them lie outside the array to tell wings from background. */
  readonly showsWings: boolean;
  /** Cells whose profile overlaps a cell's. */
  readonly neighboursOf: readonly (readonly number[])[];
  /** 1 for tubes, 0 for holes without one: their spots are others. */
  readonly filled: Uint8Array;
}

/** What is known of the sheet so far. */
export interface Draft {
  readonly cells: CellsOnPicture;
  readonly profileOf: (cell: number) => SpotProfile;
  /** Null where it isn't known yet. */
  readonly wings: CoarseLight | null;
  /** 1/variance of each pixel, as far as it is known. */
  readonly weights: Float32Array;
}

/** What a draft says of the picture, and the picture of the draft. */
export interface Round {
  readonly stamps: Stamps;
  readonly solution: ShotSolution;
  readonly noise: Noise;
  /** By that noise. */
  readonly weights: Float32Array;
  /** Cells with light enough to know their place by. */
  readonly bright: (cell: number) => boolean;
  /** Cells neither so dim nor so bright that something is wrong with them. */
  readonly typical: (cell: number) => boolean;
}

/** Lights of the cells and what else is known of the picture they are in. */
export type Lights = Pick<FitInput, 'flux' | 'background' | 'weights'>;

/** What a round found of them. */
export const lightsOf = ({ solution, weights }: Round): Lights => ({
  flux: solution.flux,
  background: solution.background,
  weights,
});

/**
 * Co-ordinates and lists that serve all rounds, for cells near these places.
 *
 * @param pairs - cells that meet, where they are known already
 */
export function frameOf(
  picture: ReducedPhoto,
  cells: CellsOnPicture,
  filled: Uint8Array,
  pairs?: Pairs,
): Frame {
  const { width, height } = picture;
  const veiled = isVeiled(cells, width, height);
  const region = regionOf(
    cells,
    width,
    height,
    pairs,
    veiled ? betweenCells(cells, width, height) : undefined,
  );
  const bare = barePixels(region, reachedPixels(cells, width, height));
  return {
    picture,
    region,
    usable: usablePixels(region, picture.clipped),
    bare,
    showsWings: !veiled && bare.length >= LEAST_BARE_SHARE * region.counted,
    neighboursOf: neighboursOf(region.pairs),
    filled,
  };
}

/**
 * Lights of the cells by the draft, and the noise by what they leave over.
 *
 * @param noisePixels - pixels that show the noise
 * @param room - gives the round's pictures and stamps
 */
export function solveRound(frame: Frame, draft: Draft, noisePixels: number, room: Room): Round {
  const { picture, region, usable, filled } = frame;
  const { cells, profileOf } = draft;
  const stamps = makeStamps(cells, profileOf, picture.width, picture.height, room);
  const solution = solveShot(weighted(picture, draft.weights), region, stamps, [], draft.wings, room);
  const { flux, residual, model } = solution;
  const noise = noiseFromResidual(region, residual, model, usable, noisePixels);
  const typical = typicalOf(flux, filled);
  const most = TYPICAL_SHARES.most * typical;
  return {
    stamps,
    solution,
    noise,
    weights: weightsOf(noise, model, usable, room.take(model.length)),
    bright: (k) => flux[k] > BRIGHT_SHARE * typical,
    typical: (k) => filled[k] === 1 && flux[k] > TYPICAL_SHARES.least * typical && flux[k] < most,
  };
}

/** Gives back what a round had taken but for its weights, which the next one goes by. */
export function giveRoundBack({ stamps, solution }: Round, room: Room): void {
  room.giveBack(stamps.values, solution.model, solution.residual);
}

/** How a round changed the lights. */
export interface Change {
  /** Factor that all have in common: which a wrong profile makes, and the next one takes away. */
  readonly common: number;
  /** Median change in standard uncertainties, neighbours not counted. */
  readonly sigmas: number;
  /** The same but for the common factor. */
  readonly unevenSigmas: number;
}

/** @param before - lights of the round before */
export function changeOf(before: Float64Array, { flux, matrix }: ShotSolution): Change {
  const common = median(flux.map((light, k) => light / before[k]));
  const changeBut = (factor: number) =>
    median(flux.map((light, k) => Math.abs(light - factor * before[k]) * Math.sqrt(matrix.diagonal[k])));
  return { common, sigmas: changeBut(1), unevenSigmas: changeBut(common) };
}

function typicalOf(flux: Float64Array, filled: Uint8Array): number {
  return median(flux.filter((value, k) => value > 0 && filled[k] === 1));
}

/** Cells that may be learned from: tubes, and none so bright that something is wrong with it. */
export function referenceCellsOf({ filled }: Frame, flux: Float64Array): number[] {
  const most = TYPICAL_SHARES.most * typicalOf(flux, filled);
  const cells: number[] = [];
  for (let k = 0; k < flux.length; k++) if (filled[k] === 1 && flux[k] < most) cells.push(k);
  return cells;
}

/** What lights teach, with the cells in their newest places. */
export function fitInputOf(
  { picture, neighboursOf }: Frame,
  { flux, background, weights }: Lights,
  cells: CellsOnPicture,
  wings: CoarseLight | null,
): FitInput {
  return { picture, background, wings, weights, cells, flux, neighboursOf };
}

/** A round profile, and the wings along with it. */
export interface CommonSheet {
  readonly profile: SpotProfile;
  readonly wings: Wings;
  /**
   * The wings as the picture shows it: where the round's lights are too large, as a wrong profile makes them, its shares of
   * them are too small by as much.
   */
  readonly light: CoarseLight;
}

/**
 * One round profile for all cells, and the wings along with it.
 *
 * @param pixels - how many pixels to use
 */
export function learnCommon(
  frame: Frame,
  lights: Lights,
  cells: CellsOnPicture,
  pixels: number,
): CommonSheet {
  const parts = wingParts(cells, lights.flux);
  const { profile, integral, wingAmounts } = fitProfile(
    fitInputOf(frame, lights, cells, null),
    referenceCellsOf(frame, lights.flux),
    { parts: frame.showsWings ? parts : [], bare: frame.bare },
    { pixels, harmonics: 1 },
  );
  const amounts = parts.map((_, n) => wingAmounts[n] ?? 0);
  const shares = Float64Array.from(amounts, (amount) => amount / integral);
  return { profile, wings: { shares }, light: wingsOf(parts, amounts) };
}
