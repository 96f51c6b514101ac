import { isSeparate, type Random } from '@twolamp/optics';
import { mean, quantile } from 'simple-statistics';
import { median } from '../statistics/robust.js';
import { type DipCurve, dipCurve } from './dip-curve.js';
import { leastSquares } from './least-squares.js';
import type { RadialResponse } from './radial-response.js';

/** A dip with where it was seen. */
export interface DipAtDistance {
  readonly distanceM: number;
  readonly spacingM: number;
  readonly dip: number;
  readonly dipUncertainty: number;
}

export interface DipBand {
  readonly distanceM: readonly number[];
  readonly dip: readonly number[];
  readonly lowDip: readonly number[];
  readonly highDip: readonly number[];
}

export interface ResolvingFit {
  readonly spacingM: number;
  /**
   * `within`: some distances separate and some don't, distanceM is where the fitted curve crosses the criterion;
   * `beyond`: all separate, distanceM is the farthest one shot; `nearer`: none does, distanceM is the nearest.
   */
  readonly bound: 'within' | 'beyond' | 'nearer';
  readonly distanceM: number;
  /** 95 % interval of the crossing; where the bound isn't `within`, of the crossing as the fitted curve continues. */
  readonly lowM: number;
  readonly highM: number;
  /** Where the fitted curve crosses the criterion, be it between the shots or not. */
  readonly crossingM: number;
  readonly angleDeg: number;
  /** Share of the shots that separate at each distance of the main spacing. */
  readonly shareSeparate: readonly {
    readonly distanceM: number;
    readonly shots: number;
    readonly separate: number;
  }[];
  readonly curve: DipBand;
  /** How much more the dips scatter about the curve than their uncertainties say. */
  readonly excess: number;
}

const CONFIDENCE = 0.95;
const BOOTSTRAPS = 400;
const CURVE_POINTS = 60;
const ROBUST_ROUNDS = 4;
/** Tuning of Huber's weights for 95 % efficiency at the normal distribution. */
const HUBER = 1.345;
/** How far the response's width may differ from the learned one; natural logarithm (common practice, no source). */
const WIDTH_LN = 0.3;
/**
 * A near lamp's light spreads inside a tube, so that the response widens by about this × length/distance. From 0 in
 * parallel light to 1.4 in an absorbing tube (own calculation from the overlap of unequal circles); known so far.
 */
const NEAR_WIDENING = { mean: 0.7, sigma: 0.5 };
/** The stated uncertainties of the dips count as much as so many shots against their scatter. */
const TRUST_SHOTS = 4;

/**
 * Resolving distance: the dips of all pair shots against the dip of the learned response at the lamps' angle, with
 * the response's width free; where the curve crosses the criterion.
 *
 * Uncertainty by a parametric bootstrap over shots: dips are drawn anew about the curve, the size of their scatter
 * itself drawn from what the residuals leave open, so that few shots give wide intervals.
 *
 * @param tubeLengthM - for the widening of near lamps
 * @param required - least dip that counts as separate; 0 stands for any dip
 * @returns null where no dip is known
 * Source of the scale's distribution: Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.2 (scaled inverse χ²).
 */
export function fitResolving(
  dips: readonly DipAtDistance[],
  response: RadialResponse,
  tubeLengthM: number,
  required: number,
  random: Random,
): ResolvingFit | null {
  if (dips.length === 0) return null;
  const spacingM = commonest(dips.map((one) => one.spacingM));
  const curve = dipCurve(response);
  const slopeNeeded = curve.slopeFor(required);
  if (slopeNeeded === null) return null;
  const middleM = median(dips.map((one) => one.distanceM));
  const fit = fitCurve(dips, curve, tubeLengthM, middleM);
  const crossingOf = (parameters: Float64Array) =>
    crossing(spacingM / slopeNeeded, parameters, tubeLengthM, middleM);

  const modelled = dips.map((one) => dipOf(one, curve, fit.parameters, tubeLengthM, middleM));
  const standard = dips.map((one, i) => (one.dip - modelled[i]!) / one.dipUncertainty);
  const misfit = standard.reduce((sum, value, i) => sum + fit.weights[i]! * value ** 2, 0);
  const freedom = Math.max(1, dips.length - 1);
  const distances = evenly(dips, spacingM);
  const drawn = Array.from({ length: BOOTSTRAPS }, () => {
    const scale = Math.sqrt((misfit + TRUST_SHOTS) / chiSquareDraw(freedom + TRUST_SHOTS, random));
    const again = dips.map((one, i) => ({
      ...one,
      dip: Math.max(0, modelled[i]! + scale * one.dipUncertainty * random.normal()),
    }));
    return fitCurve(again, curve, tubeLengthM, middleM, fit.parameters).parameters;
  });
  const tail = (1 - CONFIDENCE) / 2;
  const crossings = drawn.map(crossingOf);
  const crossingM = crossingOf(fit.parameters);
  const shareSeparate = sharesOf(dips, spacingM, required);
  const { bound, distanceM } = boundOf(dips, spacingM, required, crossingM);
  const onCurve = (parameters: Float64Array, distance: number) =>
    dipOf({ distanceM: distance, spacingM }, curve, parameters, tubeLengthM, middleM);
  const band = (share: number) =>
    distances.map((distance) =>
      quantile(
        drawn.map((parameters) => onCurve(parameters, distance)),
        share,
      ),
    );
  return {
    spacingM,
    bound,
    distanceM,
    lowM: quantile(crossings, tail),
    highM: quantile(crossings, 1 - tail),
    crossingM,
    angleDeg: (2 * Math.atan(spacingM / (2 * distanceM)) * 180) / Math.PI,
    shareSeparate,
    curve: {
      distanceM: distances,
      dip: distances.map((distance) => onCurve(fit.parameters, distance)),
      lowDip: band(tail),
      highDip: band(1 - tail),
    },
    excess: Math.sqrt(misfit / freedom),
  };
}

/** ln of the width against the learned one, and the widening by near lamps. */
function widthAt(distanceM: number, parameters: Float64Array, tubeLengthM: number, middleM: number): number {
  return Math.exp(parameters[0]! + parameters[1]! * tubeLengthM * (1 / distanceM - 1 / middleM));
}

function dipOf(
  { distanceM, spacingM }: Pick<DipAtDistance, 'distanceM' | 'spacingM'>,
  curve: DipCurve,
  parameters: Float64Array,
  tubeLengthM: number,
  middleM: number,
): number {
  return curve.at(spacingM / distanceM / widthAt(distanceM, parameters, tubeLengthM, middleM));
}

function fitCurve(
  dips: readonly DipAtDistance[],
  curve: DipCurve,
  tubeLengthM: number,
  middleM: number,
  start: ArrayLike<number> = [0, NEAR_WIDENING.mean],
) {
  let weights = dips.map(() => 1);
  let parameters: Float64Array = Float64Array.from(start);
  for (let round = 0; round < ROBUST_ROUNDS; round++) {
    ({ parameters } = leastSquares({
      start: parameters,
      scale: [0.05, 0.2],
      residuals: (trial) =>
        Float64Array.from([
          ...dips.map(
            (one, i) =>
              (Math.sqrt(weights[i]!) * (dipOf(one, curve, trial, tubeLengthM, middleM) - one.dip)) /
              one.dipUncertainty,
          ),
          trial[0]! / WIDTH_LN,
          (trial[1]! - NEAR_WIDENING.mean) / NEAR_WIDENING.sigma,
        ]),
    }));
    const deviations = dips.map((one) =>
      Math.abs((dipOf(one, curve, parameters, tubeLengthM, middleM) - one.dip) / one.dipUncertainty),
    );
    const limit = HUBER * Math.max(1, median(deviations) / 0.6744897501960817);
    weights = deviations.map((value) => Math.min(1, limit / value));
  }
  return { parameters, weights };
}

/** Distance at which spacing/distance is what the widened response needs. */
function crossing(
  unwidenedM: number,
  parameters: Float64Array,
  tubeLengthM: number,
  middleM: number,
): number {
  let distanceM = unwidenedM;
  for (let step = 0; step < 50; step++) {
    distanceM = unwidenedM / widthAt(distanceM, parameters, tubeLengthM, middleM);
  }
  return distanceM;
}

/** Sum of squares of `freedom` standard normal values. */
function chiSquareDraw(freedom: number, random: Random): number {
  let sum = 0;
  for (let index = 0; index < freedom; index++) sum += random.normal() ** 2;
  return sum;
}

function commonest(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].reduce((best, one) => (one[1] > best[1] ? one : best))[0];
}

/** Distances of a curve over all shots, as seen with the main spacing. */
function evenly(dips: readonly DipAtDistance[], spacingM: number): number[] {
  const distances = dips.map((one) => (one.distanceM * spacingM) / one.spacingM);
  const low = 0.85 * Math.min(...distances);
  const high = 1.15 * Math.max(...distances);
  return Array.from(
    { length: CURVE_POINTS },
    (_, index) => low * (high / low) ** (index / (CURVE_POINTS - 1)),
  );
}

function sharesOf(dips: readonly DipAtDistance[], spacingM: number, required: number) {
  const byDistance = new Map<number, DipAtDistance[]>();
  for (const one of dips) {
    const distanceM = (one.distanceM * spacingM) / one.spacingM;
    byDistance.set(distanceM, [...(byDistance.get(distanceM) ?? []), one]);
  }
  return [...byDistance]
    .map(([distanceM, shots]) => ({
      distanceM,
      shots: shots.length,
      separate: shots.filter((one) => isSeparate(one.dip, required)).length,
    }))
    .sort((a, b) => a.distanceM - b.distanceM);
}

function boundOf(
  dips: readonly DipAtDistance[],
  spacingM: number,
  required: number,
  crossingM: number,
): Pick<ResolvingFit, 'bound' | 'distanceM'> {
  const distances = dips.map((one) => (one.distanceM * spacingM) / one.spacingM);
  const separateAt = [...new Set(distances)].map((distanceM) =>
    isSeparate(mean(dips.filter((_, i) => distances[i] === distanceM).map((one) => one.dip)), required),
  );
  if (separateAt.every((separate) => separate)) return { bound: 'beyond', distanceM: Math.max(...distances) };
  if (!separateAt.some((separate) => separate)) return { bound: 'nearer', distanceM: Math.min(...distances) };
  return { bound: 'within', distanceM: crossingM };
}
