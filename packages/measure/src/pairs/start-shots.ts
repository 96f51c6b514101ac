import { angularPitch, type ArrayGeometry } from '@twolamp/optics';
import type { LampShot, PairShot } from '@twolamp/session';
import { brightestPlace, lampsAt, lampOffsets, type PitchPlace } from './lamp-places.js';
import { gaussianResponse } from './radial-response.js';
import { type Knowledge, lampModel } from './shot-models.js';
import { nearPlaces, type ShotView } from './shot-view.js';
import { fitSources, type Source } from './source-fit.js';

export interface ViewedShot<S extends LampShot | PairShot> {
  readonly shot: S;
  readonly view: ShotView;
}

/** A shot of one or two lamps, with the lamps found in it by Gaussians. */
export interface StartedShot {
  readonly shot: LampShot | PairShot;
  readonly view: ShotView;
  readonly slopePerPitch: number;
  /** From the place of the shot to each of its lamps, as expected. */
  readonly offsets: readonly PitchPlace[];
  /** Their width factor stands for a standard deviation in pitches. */
  readonly sources: readonly Source[];
}

/** Standard deviations to start from, in pitches: lamps within a cell or two, and glossy tubes. */
const START_WIDTHS_PITCHES = [0.6, 2];
const START_RADIUS_PITCHES = 6;
/** Cells with fewer than this many lit ones around a lamp don't show its response. */
const LEAST_LIT = 3;
const LIT_SHARE = 0.1;
const FIRST_FIT: Knowledge = { placePitches: 2, width: 1.5, separation: 0.03 };

/**
 * Finds the lamps of a shot by Gaussians of free width.
 *
 * @returns null where fewer than three cells are lit
 */
export function startShot(
  array: ArrayGeometry,
  { shot, view }: ViewedShot<LampShot | PairShot>,
): StartedShot | null {
  const slopePerPitch = angularPitch(array, shot.distanceMm);
  const offsets = lampOffsets(array, shot);
  const place = brightestPlace(view, offsets);
  if (place === null) return null;
  const near = nearPlaces(view, lampsAt(place, offsets), START_RADIUS_PITCHES);
  const amplitude = near.light.reduce((most, value) => Math.max(most, value), 0);
  if (!(amplitude > 0)) return null;
  const model = lampModel(place, offsets, amplitude, FIRST_FIT);
  const fits = START_WIDTHS_PITCHES.map((width) => {
    const optics = { response: gaussianResponse(width * slopePerPitch), slopePerPitch, pointingScatter: 0 };
    const fit = fitSources(near, optics, model, 0);
    return {
      fit,
      sources: fit.sources.map((source) => ({ ...source, widthFactor: source.widthFactor * width })),
    };
  });
  const best = fits.reduce((least, one) => (one.fit.chiSquare < least.fit.chiSquare ? one : least));
  const lit = near.light.filter((value) => value - best.fit.floor > LIT_SHARE * amplitude).length;
  return lit < LEAST_LIT ? null : { shot, view, slopePerPitch, offsets, sources: best.sources };
}
