import type { ReducedPhoto } from '@twolamp/session';
import type { CellLight } from './cell-light.js';
import type { CellsOnPicture } from './cells-on-picture.js';
import type { Shift } from './coarse-shift.js';
import { moved, type ShiftStep, shiftStep } from './drift.js';
import { followShift } from './follow-shift.js';
import { apertureLights, clearSpots, shapeLampStamps, totalLights } from './lamp-spots.js';
import { loneWings } from './lone-wings.js';
import { noiseFromResidual, weightsOf } from './noise.js';
import { paint, weighted } from './normal-equations.js';
import { type Region, usablePixels } from './region.js';
import type { SheetModel } from './sheet-model.js';
import { type Room, withLentRoom } from './room.js';
import { inverseDiagonal } from './solve-normal.js';
import { type ShotSolution, solveShot } from './solve-shot.js';
import { spotNoiseFactor } from './spot-noise.js';
import { makeStamps, type Stamps } from './stamps.js';
import { DRIFT, LAMP_SPOTS, MOST_PROBED, ROUGH_NOISE_PIXELS } from './tuning.js';
import { isVeiled, withoutVeil } from './veil.js';
import { type CoarseLight, wingLight, wingShare } from './wings.js';

/** Tolerance. Share of a profile's weight that clipped pixels may have before the cell counts as clipped. */
const CLIPPED_SHARE = 0.01;

/**
 * What lights the tubes: even light fills their bores; around one lit alone the wings lie bare; a lamp may be seen aslant and
 * light a part of the bore only.
 */
export type Lit = 'evenly' | 'alone' | 'by lamps';

/** A shot's light with where its picture lies against the even shot. */
export interface MeasuredShot {
  readonly light: CellLight;
  /** Shift in pixels of the reduced picture; null where the shot doesn't show it. */
  readonly shift: Shift | null;
  /** 'odd-spots': spots unlike the even shot's, which show no shift of the camera. */
  readonly stopped: 'settled' | 'round-limit' | 'too-little-light' | 'odd-spots';
}

/**
 * Light of every cell in one shot, with the sheet as learned from the even shot and the picture's own shift.
 *
 * The shift is followed by some bright cells first; then the whole picture is solved, the noise taken from what is left
 * over, and the picture solved again with it. Where one tube alone is lit, its wings lie bare and are fitted anew: what
 * comes out of the neighbours then differs from them by its shape, that of a spot.
 *
 * @param picture - reduced photo, dark frame off
 * @param sheet - from learnSheet
 * @param lit - what lights the tubes
 * @returns flux in full scale × pixels of the reduced picture, wings included
 */
export function measureShot(picture: ReducedPhoto, sheet: SheetModel, lit: Lit): MeasuredShot {
  const isSmooth = lit === 'evenly' && isVeiled(sheet.cells, picture.width, picture.height);
  const seen = isSmooth ? withoutVeil(picture, sheet.cells) : picture;
  return withLentRoom((room) => measureIn(room, seen, sheet, lit));
}

function measureIn(room: Room, picture: ReducedPhoto, sheet: SheetModel, lit: Lit): MeasuredShot {
  const { pitchPx } = sheet.cells;
  const usable = usablePixels(sheet.region, picture.clipped);
  let shift = followShift(picture, sheet, usable) ?? STILL;
  let held = false;
  for (let round = 1; ; round++) {
    const first = solveAt(shift, picture, sheet, lit, usable, room);
    const { step, certain } = first;
    const settled = Math.hypot(...step.shift) < DRIFT.settledPitches * pitchPx;
    const far = Math.hypot(...shift) > DRIFT.oddShiftPitches * pitchPx;
    if (!held && far && unlikeSpots(first) > DRIFT.unlikeSpots) {
      // Tubes lit aslant paint crescents beside their middles: that is no shift of the camera.
      held = true;
      shift = STILL;
      giveBack(first, room);
      continue;
    }
    // Without enough light to measure a shift, the camera is assumed not to have moved.
    const done = held || settled || round >= DRIFT.rounds || (!certain && shift === STILL);
    if (!done) {
      shift = certain ? [shift[0] + step.shift[0], shift[1] + step.shift[1]] : STILL;
      giveBack(first, room);
      continue;
    }
    const light = lit === 'by lamps' ? lampLight(first, sheet, room) : plainLight(first, sheet, room);
    if (held) return { light, shift: null, stopped: 'odd-spots' };
    if (!certain) return { light, shift: null, stopped: 'too-little-light' };
    const final: Shift = [shift[0] + step.shift[0], shift[1] + step.shift[1]];
    return { light, shift: final, stopped: settled ? 'settled' : 'round-limit' };
  }
}

const STILL: Shift = [0, 0];

/** The picture solved at some shift. */
interface Trial {
  readonly picture: ReducedPhoto;
  readonly cells: CellsOnPicture;
  readonly stamps: Stamps;
  /** Wings that are fitted along with the lights. */
  readonly parts: readonly CoarseLight[];
  readonly solution: ShotSolution;
  /** 1/variance of each pixel, by what the solution leaves over. */
  readonly weights: Float32Array;
  readonly guides: readonly number[];
  readonly step: ShiftStep;
  readonly certain: boolean;
}

/** Gives back the arrays of a trial that is not followed further. */
function giveBack({ stamps, solution, weights }: Trial, room: Room): void {
  room.giveBack(stamps.values, solution.model, solution.residual, weights);
}

function solveAt(
  shift: Shift,
  picture: ReducedPhoto,
  sheet: SheetModel,
  lit: Lit,
  usable: Uint8Array,
  room: Room,
): Trial {
  const { width, height } = picture;
  const { region } = sheet;
  const cells = moved(sheet.cells, shift);
  const stamps = makeStamps(cells, (k) => sheet.profiles[k], width, height, room);
  const rough = apertureLights(cells, stamps, picture, usable);
  const guess = weighted(picture, roughWeights(picture, region, stamps, rough, usable, room));
  const alone = lit === 'alone';
  const parts = alone ? loneWings(cells, brightestOf(rough)) : [];
  const wings = alone ? null : wingLight(cells, rough, sheet.wings);
  const solution = solveShot(guess, region, stamps, parts, wings, room);
  const { flux } = solution;
  const noise = noiseFromResidual(region, solution.residual, solution.model, usable);
  const weights = weightsOf(noise, solution.model, usable, guess.weights);
  const guides = brightCells(flux);
  const residual = weighted({ width, height, data: solution.residual }, weights);
  const step = shiftStep({ cells, stamps, flux, residual }, guides);
  const certain = step.uncertaintyPx < DRIFT.certainPitches * sheet.cells.pitchPx;
  return { picture, cells, stamps, parts, solution, weights, guides, step, certain };
}

/** Weights for a first solution, by what rough lights leave over. */
function roughWeights(
  picture: ReducedPhoto,
  region: Region,
  stamps: Stamps,
  rough: Float64Array,
  usable: Uint8Array,
  room: Room,
): Float32Array {
  const model = room.take(picture.data.length);
  paint(stamps, rough, model, picture.width);
  const left = room.take(picture.data.length);
  takeOff(picture.data, model, left);
  const noise = noiseFromResidual(region, left, model, usable, ROUGH_NOISE_PIXELS);
  room.giveBack(left);
  return weightsOf(noise, model, usable, model);
}

function takeOff(data: Float32Array, model: Float32Array, into: Float32Array): void {
  for (let at = 0; at < into.length; at++) into[at] = data[at] - model[at];
}

/** Light of the cells with the sheet's profiles. */
function plainLight(
  { picture, cells, stamps, solution, weights, parts }: Trial,
  sheet: SheetModel,
  room: Room,
): CellLight {
  const known = parts.length > 0 ? null : wingLight(cells, solution.flux, sheet.wings);
  room.giveBack(solution.model, solution.residual);
  const last = solveShot(weighted(picture, weights), sheet.region, stamps, parts, known, room);
  return lightOf(last, picture, stamps, weights, { cells, wings: sheet.wings });
}

/** Light of cells that lamps light, with profiles of their own. */
function lampLight(
  { picture, cells, stamps, solution, weights }: Trial,
  sheet: SheetModel,
  room: Room,
): CellLight {
  const { width } = picture;
  const spots = clearSpots(solution);
  shapeLampStamps(cells, stamps, solution, spots, weights, width);
  const wings = wingLight(cells, solution.flux, sheet.wings);
  room.giveBack(solution.model, solution.residual);
  const last = solveShot(weighted(picture, weights), sheet.region, stamps, [], wings, room);
  const flux = totalLights(cells, stamps, last, spots, weights, width);
  const light = lightOf(
    { flux, residual: last.residual, matrix: last.matrix },
    picture,
    stamps,
    weights,
    { cells, wings: sheet.wings },
    MOST_PROBED.byLamps,
  );
  const spilt = LAMP_SPOTS.spiltShare * light.flux[brightestOf(light.flux)];
  return { ...light, sigma: light.sigma.map((sigma) => Math.hypot(sigma, spilt)) };
}

/** Share of the guides' light (root of squares) that their profiles don't explain: large where spots have another shape. */
function unlikeSpots({ stamps, guides, picture: { width }, solution: { residual, model } }: Trial): number {
  let missed = 0;
  let all = 0;
  for (const k of guides) {
    for (let row = 0; row < stamps.height[k]; row++) {
      const from = (stamps.top[k] + row) * width + stamps.left[k];
      for (let pixel = from; pixel < from + stamps.width[k]; pixel++) {
        missed += residual[pixel] ** 2;
        all += model[pixel] ** 2;
      }
    }
  }
  return all > 0 ? Math.sqrt(missed / all) : 0;
}

function brightestOf(flux: Float64Array): number {
  return flux.reduce((best, value, k) => (value > flux[best] ? k : best), 0);
}

/** The brightest cells that have light enough to show a shift. */
function brightCells(flux: Float64Array): number[] {
  const least = DRIFT.guidingShare * flux.reduce((most, value) => Math.max(most, value), 0);
  const bright = Array.from(flux.keys()).filter((k) => flux[k] > least);
  return bright.sort((a, b) => flux[b] - flux[a]).slice(0, DRIFT.mostGuides);
}

/**
 * Flux with uncertainty and clipping, wings included, from a solution whose weights are 1/variance.
 *
 * @param probed - cells at most that are probed for the noise
 */
export function lightOf(
  solution: Pick<ShotSolution, 'flux' | 'residual' | 'matrix'>,
  picture: ReducedPhoto,
  stamps: Stamps,
  weights: Float32Array,
  sheet: Pick<SheetModel, 'cells' | 'wings'>,
  probed: number = MOST_PROBED.even,
): CellLight {
  const whole = 1 + wingShare(sheet.wings);
  const factor = spotNoiseFactor(sheet.cells, stamps, solution.residual, weights, picture.width, probed);
  return {
    flux: solution.flux.map((value) => value * whole),
    sigma: inverseDiagonal(solution.matrix).map((variance) => whole * factor * Math.sqrt(variance)),
    clipped: clippedCells(picture, stamps),
  };
}

/** Cells with clipped pixels where their profile is bright. */
function clippedCells(picture: ReducedPhoto, stamps: Stamps): Uint8Array {
  const clipped = new Uint8Array(stamps.left.length);
  if (!picture.clipped) return clipped;
  for (let k = 0; k < clipped.length; k++) {
    let all = 0;
    let lost = 0;
    let at = stamps.start[k];
    for (let row = 0; row < stamps.height[k]; row++) {
      let pixel = (stamps.top[k] + row) * picture.width + stamps.left[k];
      for (const end = at + stamps.width[k]; at < end; at++, pixel++) {
        const weight = stamps.values[at] ** 2;
        all += weight;
        lost += weight * picture.clipped[pixel];
      }
    }
    clipped[k] = lost > CLIPPED_SHARE * all ? 1 : 0;
  }
  return clipped;
}
