import { type ArrayGeometry, angularPitch, isSeparate } from '@twolamp/optics';
import type { PairShot } from '@twolamp/session';
import { type Alignment, nearFactor } from '../response/align-views.js';
import type { ArrayResponse } from '../response/array-response.js';
import type { LampView } from '../response/lamp-view.js';
import { blurred, halfWidthOf, type RadialSpline } from '../response/radial-spline.js';
import type { ShotFit } from '../response/response-model.js';
import { type Departure, departureAlong } from './departure.js';
import { fitSeparation, unitLight } from './pair-light.js';
import { dipOfProfile } from './profile-dip.js';
import { splineDip } from './spline-dip.js';
import {
  LEAST_DIP_UNCERTAINTY,
  LEAST_LIT_CELLS,
  LIT_SHARE,
  MOST_STRETCH_UNCERTAINTY,
  TAPE_UNCERTAINTY,
} from './tuning.js';

/** What one pair shot shows. */
export interface MeasuredPair {
  readonly shot: PairShot;
  /** Between the lamps' images, in pitches; null, as its uncertainty, where the light tells next to nothing of it. */
  readonly separationCells: number | null;
  readonly separationUncertainty: number | null;
  readonly dip: number;
  readonly dipUncertainty: number;
  /** Dip of the mean response alone, without this shot's departures from it. */
  readonly meanDip: number;
  readonly separate: boolean;
  /**
   * Evidence for two lamps against one: by how much two lower the Bayesian information criterion. Above 10 is very
   * strong (Kass & Raftery, J. Am. Statist. Assoc. 90 (1995) 773–795); below 0, one lamp explains the shot as well.
   */
  readonly twoLampEvidence: number;
  readonly profile: PairProfile;
}

/** Light along the lamps' line, in pitches from the middle between their images; largest model value 1. */
interface PairProfile {
  readonly offsetCells: Float64Array;
  /** Model times the smoothed ratio of measured to model. */
  readonly measured: Float64Array;
  readonly model: Float64Array;
}

const PROFILE_POINTS = 161;

/**
 * Measures one pair shot with the array's response: separation of its two images and the dip between them.
 *
 * @param required - least dip that counts as separate
 * @returns null where too few cells are lit
 */
export function measurePair(
  array: ArrayGeometry,
  view: LampView,
  shot: PairShot,
  response: ArrayResponse,
  fit: ShotFit,
  required: number,
): MeasuredPair | null {
  const top = view.light.reduce((most, light) => Math.max(most, light), 0);
  const lit = view.light.filter((light, k) => light > LIT_SHARE * top && light > 5 * view.noise[k]).length;
  if (!(top > 0) || lit < LEAST_LIT_CELLS || !(fit.amplitude > 0)) return null;
  const found = fitSeparation(view, response, fit);
  const known = found.sigma < MOST_STRETCH_UNCERTAINTY;
  const expected = separationCells(array, shot, response.alignment);
  // Mean of the measured separation and that by tape measure, weighted by their uncertainties.
  const tapeWeight = 1 / TAPE_UNCERTAINTY ** 2;
  const stretch = 1 + (found.stretch - 1) * (1 / found.sigma ** 2 / (1 / found.sigma ** 2 + tapeWeight));
  const stretchSigma = 1 / Math.sqrt(1 / found.sigma ** 2 + tapeWeight);
  const slope = shot.spacingMm / shot.distanceMm / nearFactor(view, response.alignment);
  const departure = departureAlong(view, response, fit);
  const mean = blurred(fit.spline, response.tubes.scatter);
  const dipFor = (factor: number): number => dipOf(mean, slope * factor, departure);
  const dip = dipFor(stretch);
  const byStretch = (dipFor(stretch * 1.01) - dipFor(stretch * 0.99)) / 0.02;
  return {
    shot,
    separationCells: known ? expected * found.stretch : null,
    separationUncertainty: known ? expected * found.sigma : null,
    dip,
    dipUncertainty: Math.hypot(byStretch * stretchSigma, departure.sigma * (1 - dip), LEAST_DIP_UNCERTAINTY),
    meanDip: splineDip(mean, slope * stretch),
    separate: isSeparate(dip, required),
    twoLampEvidence: found.twoLampEvidence,
    profile: profileOf(mean, slope * stretch, expected / slope, departure),
  };
}

/** Separation of two lamps' images in cells, by geometry with the fitted divergence. */
function separationCells(
  array: ArrayGeometry,
  { spacingMm, distanceMm, turnedDeg }: PairShot,
  { fan }: Alignment,
): number {
  const turned = (turnedDeg * Math.PI) / 180;
  const along = fan[0] * Math.cos(turned) ** 2 + fan[1] * Math.sin(turned) ** 2;
  return spacingMm / distanceMm / (angularPitch(array, distanceMm) + along);
}

/** Dip of two lamps at an angle (slope), corrected by the departure from the model along their line. */
function dipOf(spline: RadialSpline, slope: number, { ratio }: Pick<Departure, 'ratio'>): number {
  return dipOfProfile(
    (along) => unitLight(spline, along, slope) * ratio(along),
    slope / 2,
    halfWidthOf(spline),
  ).dip;
}

function profileOf(
  spline: RadialSpline,
  slope: number,
  cellsPerSlope: number,
  departure: Departure,
): PairProfile {
  const farthest = slope / 2 + 3 * halfWidthOf(spline);
  const places = Float64Array.from(
    { length: PROFILE_POINTS },
    (_, n) => farthest * ((2 * n) / (PROFILE_POINTS - 1) - 1),
  );
  const raw = places.map((along) => unitLight(spline, along, slope));
  const largest = raw.reduce((most, value) => Math.max(most, value), 0);
  return {
    offsetCells: places.map((along) => along * cellsPerSlope),
    model: raw.map((value) => value / largest),
    measured: raw.map((value, n) => (value * departure.ratio(places[n])) / largest),
  };
}
