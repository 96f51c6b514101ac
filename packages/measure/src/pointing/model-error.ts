import { bisect, madScale } from '@twolamp/numeric';
import type { TubeFit } from './fit-tube.js';
import type { Sweep } from './sweep.js';
import { brightestAnswer, isClear } from './tube-data.js';
import { type AcceptanceProfile, evaluateShape, SHAPE_SIZE } from './tube-shape.js';
import {
  BRIGHT_SHARE,
  LEAST_MODEL_ERROR,
  LEAST_READINGS,
  MOST_LEVERAGE,
  MOST_MODEL_ERROR,
} from './tuning.js';

/** How far the acceptance that tubes share is off a tube's answers, beyond noise: both add up as squares. */
export interface ModelError {
  /** A share of the answer: the shape differs from tube to tube. */
  readonly share: number;
  /** The same for every answer, in their unit: what its neighbours leak into a tube, however dim it is itself. */
  readonly floor: number;
}

const FIRST: ModelError = { share: 0.1, floor: 0.01 };
/** Halvings that find an error to a thousandth of itself. */
const BISECTIONS = 12;

/** One clear answer that isn't clipped: residual, noise, size, and the share of the error that the fit has left in it. */
interface Answer {
  readonly off: number;
  readonly noise: number;
  readonly light: number;
  readonly bright: boolean;
  readonly left: number;
}

/** What to begin with. @param brightest - what a usual tube answers to its best lamp */
export function firstModelError(brightest: number): ModelError {
  return { share: FIRST.share, floor: FIRST.floor * brightest };
}

/**
 * Learns from the fits of tubes how far the model is off.
 *
 * @param tubes - those fitted, in the order of `fits`
 * @param brightest - what a usual tube answers to its best lamp
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
  const answers = tubes.flatMap((tube, i) => answersOf(sweep, tube, acceptance, fits[i], before));
  const bright = answers.filter((one) => one.bright);
  const faint = answers.filter((one) => !one.bright);
  const share = scaleOf(bright, LEAST_MODEL_ERROR.share, MOST_MODEL_ERROR.share, (one, share) =>
    Math.hypot(one.noise, share * one.light, before.floor),
  );
  const floor = scaleOf(
    faint,
    LEAST_MODEL_ERROR.floor * brightest,
    MOST_MODEL_ERROR.floor * brightest,
    (one, floor) => Math.hypot(one.noise, share * one.light, floor),
  );
  // Half way only: error and profile follow each other, and would swing.
  return { share: Math.sqrt(share * before.share), floor: Math.sqrt(floor * before.floor) };
}

function answersOf(
  sweep: Sweep,
  tube: number,
  acceptance: AcceptanceProfile,
  { shape, covariance }: TubeFit,
  before: ModelError,
): Answer[] {
  const from = tube * sweep.lamps;
  const brightest = brightestAnswer(sweep.response.subarray(from, from + sweep.lamps));
  const size = Math.sqrt(covariance.length);
  const gradient = new Float64Array(SHAPE_SIZE);
  const answers: Answer[] = [];
  for (let at = from; at < from + sweep.lamps; at++) {
    // What is clipped is a lower bound: how far the model is off it says nothing.
    if (sweep.clipped[at] === 1 || !isClear(sweep, at)) continue;
    const light = sweep.response[at];
    const noise = sweep.sigma[at];
    const model = evaluateShape(acceptance.profile, shape, sweep.across[at], sweep.up[at], gradient);
    const variance = noise ** 2 + (before.share * light) ** 2 + before.floor ** 2;
    // The leverage of an answer: by so much of its own error does the fit follow it.
    let leverage = 0;
    for (let i = 0; i < size; i++)
      for (let j = 0; j < size; j++) leverage += gradient[i] * covariance[i * size + j] * gradient[j];
    const left = 1 - leverage / variance;
    if (left > 1 - MOST_LEVERAGE) {
      answers.push({
        off: Math.abs(light - model),
        noise,
        light,
        bright: light > BRIGHT_SHARE * brightest,
        left,
      });
    }
  }
  return answers;
}

/** The error at which the residuals scatter as they should; the least where too few answers tell. */
function scaleOf(
  answers: readonly Answer[],
  least: number,
  most: number,
  sigmaAt: (one: Answer, error: number) => number,
): number {
  if (answers.length < LEAST_READINGS) return least;
  const scaleAt = (error: number) =>
    madScale(
      answers.map((one) => one.off / (sigmaAt(one, error) * Math.sqrt(one.left))),
      0,
    );
  const { low } = bisect((log) => scaleAt(Math.exp(log)) > 1, Math.log(least), Math.log(most), BISECTIONS);
  return Math.exp(low);
}
