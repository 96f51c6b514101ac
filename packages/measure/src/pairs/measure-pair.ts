import { angularPitch, type ArrayGeometry, isSeparate, type Random } from '@twolamp/optics';
import type { PairShot } from '@twolamp/session';
import { standardDeviation } from 'simple-statistics';
import { normalDraws } from './draw.js';
import { brightestPlace, lampOffsets, lampsAt, middleOf } from './lamp-places.js';
import type { LearnedResponse } from './learn-response.js';
import { type ProfileDip, dipOfProfile } from './profile-dip.js';
import { departureAlong } from './departure.js';
import type { RadialResponse } from './radial-response.js';
import { type Knowledge, lampModel } from './shot-models.js';
import { nearPlaces, type ShotView } from './shot-view.js';
import { fitSources, lightOfSources, type Optics, type Source, type SourceFit } from './source-fit.js';

/** What one pair shot shows. */
export interface MeasuredPair {
  readonly shot: PairShot;
  /** Between the lamps' images, in pitches. */
  readonly separationCells: number;
  readonly separationUncertainty: number;
  readonly dip: number;
  readonly dipUncertainty: number;
  readonly separate: boolean;
  /** By how much the response had to be widened to fit. */
  readonly widthFactor: number;
  /**
   * Evidence for two lamps against one: by how much two lower the Bayesian information criterion. Above 10 is very
   * strong (Kass & Raftery, J. Am. Statist. Assoc. 90 (1995) 773–795); below 0, one lamp explains the shot as well.
   */
  readonly twoAgainstOne: number;
  /** Light along the lamps' line, largest model value = 1. */
  readonly profile: PairProfile;
  readonly stopped: SourceFit['stopped'];
}

export interface PairProfile {
  /** Along the line, in pitches, 0 = middle between the images. */
  readonly offsetCells: Float64Array;
  /** Model times the smoothed ratio of measured to model. */
  readonly measured: Float64Array;
  readonly model: Float64Array;
}

const MEASURING: Knowledge = { placePitches: 2, width: 0.1, separation: 0.1 };
const MARGIN_PITCHES = 2;
/** Lit cells a pair must have to be measured. */
const LEAST_LIT = 4;
const LIT_SHARE = 0.1;
const DRAWS = 200;
const PROFILE_POINTS = 161;
/** Part of the dip's uncertainty that no noise shows: the shape of the response is known to about 1 %. */
const SHAPE_ERROR = 0.005;

/**
 * Fits two lamps to a pair shot and reads the dip between them.
 *
 * @param required - least dip that counts as separate
 * @returns null where too few cells are lit to tell
 */
export function measurePair(
  array: ArrayGeometry,
  shot: PairShot,
  view: ShotView,
  learned: LearnedResponse,
  required: number,
  random: Random,
): MeasuredPair | null {
  const offsets = lampOffsets(array, shot);
  const slopePerPitch = angularPitch(array, shot.distanceMm);
  const optics: Optics = { ...learned, slopePerPitch };
  const place = brightestPlace(view, offsets);
  if (place === null) return null;
  const radius = learned.response.reachSlope / slopePerPitch + MARGIN_PITCHES;
  const near = nearPlaces(view, lampsAt(place, offsets), radius);
  const amplitude = near.light.reduce((most, value) => Math.max(most, value), 0);
  const lit = near.light.filter((value) => value > LIT_SHARE * amplitude).length;
  if (!(amplitude > 0) || lit < LEAST_LIT) return null;
  const model = lampModel(place, offsets, amplitude, MEASURING);
  const fit = fitSources(near, optics, model);
  const separation = separationOf(fit.sources);
  const departure = departureAlong(near, fit, learned.response, slopePerPitch);
  const dipAt = (parameters: Float64Array) =>
    dipOf(model.sources(parameters), learned.response, slopePerPitch, departure.ratio).dip;
  const draws = normalDraws(fit.parameters, fit.covariance, DRAWS, random);
  const dip = dipAt(fit.parameters);
  const separations = draws.map((parameters) => separationOf(model.sources(parameters)));
  const dips = draws.map(dipAt);
  return {
    shot,
    separationCells: separation,
    separationUncertainty: standardDeviation(separations),
    dip,
    dipUncertainty: Math.hypot(standardDeviation(dips), SHAPE_ERROR, departure.sigma * (1 - dip)),
    separate: isSeparate(dip, required),
    widthFactor: fit.sources[0]!.widthFactor,
    twoAgainstOne: twoAgainstOne(near, optics, fit, amplitude),
    profile: profileOf(fit.sources, learned.response, slopePerPitch, departure.ratio),
    stopped: fit.stopped,
  };
}

function separationOf([first, second]: readonly Source[]): number {
  return Math.hypot(second!.across - first!.across, second!.up - first!.up);
}

/** Light along the line through both sources, in pitches from their middle. */
function alongLine(
  sources: readonly Source[],
  response: RadialResponse,
  slopePerPitch: number,
): (along: number) => number {
  const middle = middleOf(sources);
  const separation = separationOf(sources);
  const cos = (sources[1]!.across - sources[0]!.across) / separation;
  const sin = (sources[1]!.up - sources[0]!.up) / separation;
  return (along) =>
    lightOfSources(sources, response, slopePerPitch, middle.across + along * cos, middle.up + along * sin);
}

function dipOf(
  sources: readonly Source[],
  response: RadialResponse,
  slopePerPitch: number,
  ratio: (along: number) => number,
): ProfileDip {
  const light = alongLine(sources, response, slopePerPitch);
  const margin = (response.halfWidthSlope * sources[0]!.widthFactor) / slopePerPitch;
  return dipOfProfile((along) => light(along) * ratio(along), separationOf(sources) / 2, margin);
}

function twoAgainstOne(view: ShotView, optics: Optics, two: SourceFit, amplitude: number): number {
  const one = fitSources(
    view,
    optics,
    lampModel(middleOf(two.sources), [{ across: 0, up: 0 }], amplitude, MEASURING),
  );
  const misfit = (model: Float64Array) =>
    model.reduce((sum, value, i) => {
      const weight = two.weights.robust[i]! / two.weights.sigma[i]! ** 2;
      return sum + weight * (value - view.light[i]!) ** 2;
    }, 0);
  const extra = two.parameters.length - one.parameters.length;
  return misfit(one.model) - misfit(two.model) - extra * Math.log(view.cells.length);
}

function profileOf(
  sources: readonly Source[],
  response: RadialResponse,
  slopePerPitch: number,
  ratio: (along: number) => number,
): PairProfile {
  const light = alongLine(sources, response, slopePerPitch);
  const width = (response.halfWidthSlope * sources[0]!.widthFactor) / slopePerPitch;
  const farthest = separationOf(sources) / 2 + 3 * width;
  const offsetCells = Float64Array.from(
    { length: PROFILE_POINTS },
    (_, index) => farthest * ((2 * index) / (PROFILE_POINTS - 1) - 1),
  );
  const raw = offsetCells.map(light);
  const largest = raw.reduce((most, value) => Math.max(most, value), 0);
  return {
    offsetCells,
    model: raw.map((value) => value / largest),
    measured: raw.map((value, index) => (value * ratio(offsetCells[index]!)) / largest),
  };
}
