import type { CellLight } from '../cell-light.js';
import type { ReducedPhoto } from '../light/plane.js';
import { coarseShift, moved, type Shift, shiftStep } from './drift.js';
import { type CoarseLight, haloLight, haloShare } from './halo.js';
import { clearSpots, lampPatches, wholeLights } from './lamp-spots.js';
import { loneHalo } from './lone-halo.js';
import { noiseFromResidual, weightsOf } from './noise.js';
import { makePatches, makeSlopes, type Patches } from './patches.js';
import { usablePixels } from './region.js';
import type { SheetModel } from './sheet-model.js';
import { inverseDiagonal } from './solve-normal.js';
import { type ShotSolution, solveShot } from './solve-shot.js';
import { spotNoiseFactor } from './spot-noise.js';

/**
 * What lights the tubes: even light fills their bores; of one lit alone the halo lies bare; a lamp may be seen aslant and
 * light a part of the bore only.
 */
export type Lit = 'evenly' | 'alone' | 'by lamps';

/** A shot's light with where its picture lies against the even shot. */
export interface MeasuredShot {
  readonly light: CellLight;
  /** Shift in pixels of the reduced picture; null where the shot can't tell. */
  readonly shift: Shift | null;
  /** 'odd-spots': spots unlike the even shot's, which show no shift of the camera. */
  readonly stopped: 'settled' | 'round-limit' | 'too-little-light' | 'odd-spots';
}

const ROUNDS = 4;
/** A shift is believed when it is this certain, and followed until it changes by no more than this, in pitches. */
const CERTAIN_PITCHES = 0.02;
const SETTLED_PITCHES = 0.008;
/** Beyond this shift, in pitches, spots must look like those of the even shot, but for this share of their light. */
const ODD_SHIFT_PITCHES = 0.1;
const UNLIKE_SPOTS = 0.3;
/** Cells with at least this share of the brightest one's light guide the shift. */
const GUIDING_SHARE = 0.05;
/**
 * How far the light of any cell may be off where lamps light the tubes, a share of the brightest one's: what spots lit in
 * part, and scatter, leave over. As found on synthetic sessions.
 */
const SPILT_SHARE = 0.0008;
/** Share of a footprint's weight that clipped pixels may have before the cell counts as clipped. */
const CLIPPED_SHARE = 0.01;

/**
 * Light of every cell in one shot, with the sheet as learned from the even shot and the picture's own shift.
 *
 * Where one tube alone is lit, its halo lies bare and is fitted anew: what comes out of the neighbours is then told from
 * it by its shape, that of a spot.
 *
 * @param picture - reduced photo, dark frame off
 * @param sheet - from learnSheet
 * @param lit - what lights the tubes
 * @returns flux in full scale × pixels of the reduced picture, halo included
 */
export function measureShot(picture: ReducedPhoto, sheet: SheetModel, lit: Lit): MeasuredShot {
  const { width, height } = picture;
  const { region } = sheet;
  const { pitchPx } = sheet.cells;
  const usable = usablePixels(region, picture.clipped);
  let weights: Float32Array = Float32Array.from(usable);
  let shift = coarseShift(picture, sheet.cells);
  let halo: CoarseLight | null = null;
  let parts: CoarseLight[] = [];
  let held = false;
  for (let round = 1; ; round++) {
    const cells = moved(sheet.cells, shift);
    const patches = makePatches(cells, (k) => sheet.footprints[k]!, width, height);
    const solution = solveShot(picture, region, patches, weights, parts, halo);
    const { flux } = solution;
    if (lit === 'alone') parts = loneHalo(cells, brightestOf(flux));
    else halo = haloLight(cells, flux, sheet.halo);
    const noise = noiseFromResidual(region, solution.residual, solution.model, usable);
    const used = weights;
    weights = weightsOf(noise, solution.model, usable);
    const guides = brightCells(flux);
    const slopesOf = makeSlopes(patches);
    const step = shiftStep(cells, patches, slopesOf, guides, flux, solution.residual, weights, width);
    const certain = step.uncertaintyPx < CERTAIN_PITCHES * pitchPx;
    const settled = Math.hypot(...step.shift) < SETTLED_PITCHES * pitchPx;
    // Without light enough to tell, the stand is taken to have stood still.
    const still = !certain && shift[0] === 0 && shift[1] === 0;
    if (round > 1 && (settled || still || round >= ROUNDS)) {
      const unlike = unlikeSpots(patches, guides, solution, width);
      if (!held && Math.hypot(...shift) > ODD_SHIFT_PITCHES * pitchPx && unlike > UNLIKE_SPOTS) {
        // Tubes lit aslant paint crescents beside their middles: that is no shift of the camera.
        held = true;
        shift = [0, 0];
        continue;
      }
      const found = { ...sheet, cells };
      const light =
        lit === 'by lamps'
          ? lampLight(solution, picture, patches, usable, weights, found, halo)
          : lightOf(solution, picture, patches, used, found);
      if (held) return { light, shift: null, stopped: 'odd-spots' };
      if (!certain) return { light, shift: null, stopped: 'too-little-light' };
      const final: Shift = [shift[0] + step.shift[0], shift[1] + step.shift[1]];
      return { light, shift: final, stopped: settled ? 'settled' : 'round-limit' };
    }
    if (!held) shift = certain ? [shift[0] + step.shift[0], shift[1] + step.shift[1]] : [0, 0];
  }
}

/**
 * Light of cells that lamps light, with footprints of their own.
 *
 * @param first - solution with the sheet's footprints
 */
function lampLight(
  first: ShotSolution,
  picture: ReducedPhoto,
  patches: Patches,
  usable: Uint8Array,
  weights: Float32Array,
  sheet: SheetModel,
  halo: CoarseLight | null,
): CellLight {
  const { cells, region } = sheet;
  const spots = clearSpots(cells, patches, first, usable, picture.width);
  const own = lampPatches(cells, patches, first, spots, weights);
  const solution = solveShot(picture, region, own, weights, [], halo);
  const flux = wholeLights(own, solution, spots);
  const light = lightOf({ ...solution, flux }, picture, own, weights, sheet);
  const spilt = SPILT_SHARE * light.flux[brightestOf(light.flux)]!;
  return { ...light, sigma: light.sigma.map((sigma) => Math.hypot(sigma, spilt)) };
}

/** Share of the bright cells' light (root of squares) that their footprints don't explain: large where spots have another shape. */
function unlikeSpots(
  patches: Patches,
  guides: readonly number[],
  { residual, model }: ShotSolution,
  width: number,
): number {
  let [missed, all] = [0, 0];
  for (const k of guides) {
    for (let row = 0; row < patches.height[k]!; row++) {
      const from = (patches.top[k]! + row) * width + patches.left[k]!;
      for (let pixel = from; pixel < from + patches.width[k]!; pixel++) {
        missed += residual[pixel]! ** 2;
        all += model[pixel]! ** 2;
      }
    }
  }
  return all > 0 ? Math.sqrt(missed / all) : 0;
}

function brightestOf(flux: Float64Array): number {
  return flux.reduce((best, value, k) => (value > flux[best]! ? k : best), 0);
}

/** Cells with light enough to tell a shift by. */
function brightCells(flux: Float64Array): number[] {
  const least = GUIDING_SHARE * flux.reduce((most, value) => Math.max(most, value), 0);
  return Array.from(flux.keys()).filter((k) => flux[k]! > least);
}

/** Flux with uncertainty and clipping, halo included, from a solution whose weights are 1/variance. */
export function lightOf(
  solution: ShotSolution,
  picture: ReducedPhoto,
  patches: Patches,
  weights: Float32Array,
  sheet: SheetModel,
): CellLight {
  const whole = 1 + haloShare(sheet.halo);
  const factor = spotNoiseFactor(sheet.cells, patches, solution.residual, weights, picture.width);
  return {
    flux: solution.flux.map((value) => value * whole),
    sigma: inverseDiagonal(solution.matrix).map((variance) => whole * factor * Math.sqrt(variance)),
    clipped: clippedCells(picture, patches),
  };
}

/** Cells with clipped pixels where their footprint is bright. */
function clippedCells(picture: ReducedPhoto, patches: Patches): Uint8Array {
  const clipped = new Uint8Array(patches.left.length);
  for (let k = 0; k < clipped.length; k++) {
    let [all, lost] = [0, 0];
    let at = patches.start[k]!;
    for (let row = 0; row < patches.height[k]!; row++) {
      let pixel = (patches.top[k]! + row) * picture.width + patches.left[k]!;
      for (const end = at + patches.width[k]!; at < end; at++, pixel++) {
        const weight = patches.values[at]! ** 2;
        all += weight;
        lost += weight * picture.clipped[pixel]!;
      }
    }
    clipped[k] = lost > CLIPPED_SHARE * all ? 1 : 0;
  }
  return clipped;
}
