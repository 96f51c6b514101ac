import { InputError } from '@twolamp/session';
import type { ResponseTable } from '../tone-curve.js';
import { CODES, logLight, type SeriesSamples, solveLogResponse, type Weigh } from './log-response.js';
import { nearestRising } from './rising.js';

const TOP = CODES - 1;
/** The most light, of full scale, by which a response may have to be mended to rise. */
const LARGEST_DIP = 0.01;

/** A camera's response, and how far to trust it. */
export interface ResponseFit {
  /** Light of each of the 256 codes, 1 at the top. */
  readonly table: ResponseTable;
  /** Lowest and highest code that samples told of; beyond them the table is a smooth continuation. */
  readonly lowestCode: number;
  readonly highestCode: number;
  /** Weighted RMS by which single samples miss the fit, in stops: noise, or far more where the scene moved. */
  readonly residualStops: number;
}

/** Weight 0 at both ends: dark codes are coarse on a logarithmic scale, and the top one may be clipped. */
const HAT = Float64Array.from({ length: CODES }, (_, code) => (Math.min(code, TOP - code) / (TOP / 2)) ** 2);
/** As the hat, but full up to the top: for use where clipping is known by other means. */
const RISING = Float64Array.from({ length: CODES }, (_, code) => Math.min(code / (TOP / 2), 1) ** 2);

/** The highest code whose log response isn't above `value`; 0 where there is none. */
function codeAt(response: Float64Array, value: number): number {
  let low = 0;
  let high = TOP;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (response[middle] <= value) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The response without the small dips that noise leaves where samples are few; a large dip is no camera's. */
function rising(response: Float64Array): Float64Array {
  const mended = nearestRising(response);
  const light = (value: number) => Math.exp(value - mended[TOP]);
  if (mended.every((value, code) => Math.abs(light(value) - light(response[code])) < LARGEST_DIP))
    return mended;
  throw new InputError(
    'the exposure series',
    'no one response fits its photos',
    'an unmoved scene in steady light',
  );
}

/** Coverage and residual of a fit. */
function judge(
  response: Float64Array,
  series: readonly SeriesSamples[],
  logs: readonly number[],
  weigh: Weigh,
) {
  const weights = new Float64Array(series.length);
  let lowestCode = TOP;
  let highestCode = 0;
  let weight = 0;
  let squares = 0;
  for (let point = 0; point < series[0].codes.length; point++) {
    weigh(point, weights);
    if (weights.filter((value) => value > 0).length < 2) continue; // one sample alone always fits
    const light = logLight(response, series, logs, weights, point);
    for (let j = 0; j < series.length; j++) {
      if (weights[j] === 0) continue;
      const code = series[j].codes[point];
      lowestCode = Math.min(lowestCode, code);
      highestCode = Math.max(highestCode, code);
      weight += weights[j];
      squares += weights[j] * (response[code] - light - logs[j]) ** 2;
    }
  }
  return { lowestCode, highestCode, residualStops: Math.sqrt(squares / weight) / Math.LN2 };
}

/**
 * A camera's response from photos of one unmoved scene at several exposures.
 *
 * With g(code) the logarithm of the light a code stands for, every sample says g(code) = ln light + ln exposure. All
 * samples together are solved for g and for the light of every point by weighted linear least squares, with a
 * smoothness term. Two things are our own: g is smoothed along ln code, where camera curves, being near to powers,
 * are almost straight; and a second pass weighs samples by the code that the first predicts, not by their own, and
 * leaves out what it says is clipped. A weight that goes by the noisy code itself prefers samples that noise has
 * raised in the dark or drawn below the top, and bends the curve.
 *
 * @param series - two photos or more, of 8-bit codes, each with as many samples as the others; channels may be mixed
 *   where they share one response
 * @throws RangeError for fewer than two exposures, unequal lengths, or an exposure that isn't above 0
 * @throws InputError where no sample is usable in two photos, or no rising response fits
 *
 * Source: P. E. Debevec, J. Malik, "Recovering High Dynamic Range Radiance Maps from Photographs", SIGGRAPH 1997,
 * pp. 369-378, doi:10.1145/258734.258884.
 */
export function fitResponse(series: readonly SeriesSamples[]): ResponseFit {
  if (new Set(series.map(({ exposure }) => exposure)).size < 2) {
    throw new RangeError(
      `series must have two different exposures, got ${series.map((one) => one.exposure)}`,
    );
  }
  for (const { codes, exposure } of series) {
    if (!(exposure > 0)) throw new RangeError(`exposure must be above 0, got ${exposure}`);
    if (codes.length !== series[0].codes.length) {
      throw new RangeError(
        `codes must have ${series[0].codes.length} samples like the first, got ${codes.length}`,
      );
    }
  }
  const logs = series.map(({ exposure }) => Math.log(exposure));
  const byHat: Weigh = (point, weights) => {
    for (let j = 0; j < series.length; j++) weights[j] = HAT[series[j].codes[point]];
  };
  const first = rising(solveLogResponse(series, logs, byHat));
  const byPrediction: Weigh = (point, weights) => {
    byHat(point, weights);
    const light = logLight(first, series, logs, weights, point);
    for (let j = 0; j < series.length; j++) {
      const clipped = !(light + logs[j] < first[TOP]); // so that NaN, from a point without light, counts as well
      weights[j] = clipped ? 0 : RISING[codeAt(first, light + logs[j])];
    }
  };
  const response = rising(solveLogResponse(series, logs, byPrediction));
  const quality = judge(response, series, logs, byPrediction);
  if (quality.lowestCode >= quality.highestCode) {
    throw new InputError('the exposure series', 'no part of the scene is well exposed in two of its photos');
  }
  return { table: response.map((value) => Math.exp(value - response[TOP])), ...quality };
}
