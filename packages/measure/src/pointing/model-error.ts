import { bisect, madScale } from '@twolamp/numeric';
import type { TubeFit } from './fit-tube.js';
import type { Sweep } from './sweep.js';
import { brightestReading, isClear } from './tube-data.js';
import { type AcceptanceProfile, evaluateShape, SHAPE_SIZE } from './tube-shape.js';
import { LEAST_MODEL_ERROR, LEAST_READINGS, MOST_LEVERAGE } from './tuning.js';

/** Tolerance. Readings above this share of the tube's brightest give the relative part of the model error, fainter ones the floor. */
const BRIGHT_SHARE = 0.2;
/** Upper ends of the search for a model error: the relative part, and the floor over the typical brightest reading. */
const MOST_MODEL_ERROR = { share: 1, floor: 0.3 };

/** Error of the shared acceptance in a tube's readings, beyond noise; both parts add in quadrature. */
export interface ModelError {
  /** A share of the reading: the shape differs from tube to tube. */
  readonly share: number;
  /** The same for every reading, in their unit: light that leaks in from neighbours. */
  readonly floor: number;
}

/** To start from; the floor as a share of the typical brightest reading. */
const FIRST: ModelError = { share: 0.1, floor: 0.01 };
/** Halvings that find an error to a thousandth of itself. */
const BISECTIONS = 12;

/** One clear reading that isn't clipped: residual, noise, light, and 1 − its leverage on the fit. */
interface Reading {
  readonly off: number;
  readonly noise: number;
  readonly light: number;
  readonly bright: boolean;
  readonly left: number;
}

/** Model error to start from. @param brightest - brightest reading of a typical tube */
export function firstModelError(brightest: number): ModelError {
  return { share: FIRST.share, floor: FIRST.floor * brightest };
}

/**
 * Estimates the model error from the fits' residuals.
 *
 * @param tubes - those fitted, in the order of `fits`
 * @param brightest - brightest reading of a typical tube
 * @param before - the error that the fits were made with
 */
export function learnModelError(
  sweep: Sweep,
  tubes: readonly number[],
  acceptance: AcceptanceProfile,
  fits: readonly TubeFit[],
  brightest: number,
  before: ModelError,
): ModelError {
  const readings = tubes.flatMap((tube, i) => readingsOf(sweep, tube, acceptance, fits[i], before));
  const bright = readings.filter((one) => one.bright);
  const faint = readings.filter((one) => !one.bright);
  const share = scaleOf(bright, LEAST_MODEL_ERROR.share, MOST_MODEL_ERROR.share, (one, share) =>
    Math.hypot(one.noise, share * one.light, before.floor),
  );
  const floor = scaleOf(
    faint,
    LEAST_MODEL_ERROR.floor * brightest,
    MOST_MODEL_ERROR.floor * brightest,
    (one, floor) => Math.hypot(one.noise, share * one.light, floor),
  );
  // Geometric mean with the value before: error and profile depend on each other and would oscillate.
  return { share: Math.sqrt(share * before.share), floor: Math.sqrt(floor * before.floor) };
}

function readingsOf(
  sweep: Sweep,
  tube: number,
  acceptance: AcceptanceProfile,
  { shape, covariance }: TubeFit,
  before: ModelError,
): Reading[] {
  const from = tube * sweep.lamps;
  const brightest = brightestReading(sweep.response.subarray(from, from + sweep.lamps));
  const size = Math.sqrt(covariance.length);
  const gradient = new Float64Array(SHAPE_SIZE);
  const readings: Reading[] = [];
  for (let at = from; at < from + sweep.lamps; at++) {
    // A clipped reading is a lower bound and says nothing of the model error.
    if (sweep.clipped[at] === 1 || !isClear(sweep, at)) continue;
    const light = sweep.response[at];
    const noise = sweep.sigma[at];
    const model = evaluateShape(acceptance.profile, shape, sweep.across[at], sweep.up[at], gradient);
    const variance = noise ** 2 + (before.share * light) ** 2 + before.floor ** 2;
    // Leverage: the share of a reading's own error that the fit follows.
    let leverage = 0;
    for (let i = 0; i < size; i++)
      for (let j = 0; j < size; j++) leverage += gradient[i] * covariance[i * size + j] * gradient[j];
    const left = 1 - leverage / variance;
    if (left > 1 - MOST_LEVERAGE) {
      readings.push({
        off: Math.abs(light - model),
        noise,
        light,
        bright: light > BRIGHT_SHARE * brightest,
        left,
      });
    }
  }
  return readings;
}

/** The error at which the residuals have a robust standard deviation of 1; the least where there are too few readings. */
function scaleOf(
  readings: readonly Reading[],
  least: number,
  most: number,
  sigmaAt: (one: Reading, error: number) => number,
): number {
  if (readings.length < LEAST_READINGS) return least;
  const scaleAt = (error: number) =>
    madScale(
      readings.map((one) => one.off / (sigmaAt(one, error) * Math.sqrt(one.left))),
      0,
    );
  const { low } = bisect((log) => scaleAt(Math.exp(log)) > 1, Math.log(least), Math.log(most), BISECTIONS);
  return Math.exp(low);
}
