import { bisquare, madScale } from '../statistics/robust.js';
import { type LeastSquaresFit, leastSquares } from './least-squares.js';
import type { RadialResponse } from './radial-response.js';
import type { ShotView } from './shot-view.js';

/** One lamp's image on the array. */
export interface Source {
  /** Light of a tube that looks straight at the lamp. */
  readonly amplitude: number;
  /** Place in pitches. */
  readonly across: number;
  readonly up: number;
  /** By how much the response is wider than the learned one; 1 = as wide. */
  readonly widthFactor: number;
}

/** What the parameters of a fit to one shot stand for. */
export interface SourceModel {
  readonly start: ArrayLike<number>;
  /** Natural change of each parameter, see LeastSquaresProblem. */
  readonly scale: ArrayLike<number>;
  readonly sources: (parameters: Float64Array) => readonly Source[];
  readonly floor: (parameters: Float64Array) => number;
  /** What is known beforehand, as residuals in units of its standard uncertainty. */
  readonly known: (parameters: Float64Array) => readonly number[];
}

/** What a shot is fitted with. */
export interface Optics {
  readonly response: RadialResponse;
  /** Change of slope from one tube to the next at the lamps' distance. */
  readonly slopePerPitch: number;
  /** Standard deviation of the tubes' pointing errors in each direction, as a slope. */
  readonly pointingScatter: number;
}

/** How much each cell of a view counts. */
export interface CellWeights {
  /** Standard uncertainty of each cell's light as used: noise, transmission and pointing scatter together. */
  readonly sigma: Float64Array;
  /** 0 = an outlier, left out; 1 = follows the model. */
  readonly robust: Float64Array;
  /** By how much the lit cells scatter more than their uncertainties say, at least 1; `sigma` has it in. */
  readonly excess: number;
}

export interface SourceFit extends LeastSquaresFit {
  readonly sources: readonly Source[];
  readonly floor: number;
  /** Modelled light of each cell of the view, floor included. */
  readonly model: Float64Array;
  readonly weights: CellWeights;
}

/** Share of the brightest light that the first round takes for every cell's uncertainty: no cell rules the start. */
const FIRST_ROUND_SHARE = 0.05;
/** Cells with more than this share of the brightest one's light count as lit. */
const LIT_SHARE = 0.05;
export const ROBUST_ROUNDS = 3;
/** Tuning of the bisquare weights for 95 % efficiency at the normal distribution. */
const BISQUARE_SCALES = 4.685065;
const GRADIENT_STEP_PITCHES = 0.02;

/** Light of some lamps in a tube at a place in pitches, without floor. */
export function lightOfSources(
  sources: readonly Source[],
  response: RadialResponse,
  slopePerPitch: number,
  across: number,
  up: number,
): number {
  let light = 0;
  for (const source of sources) {
    const aside = across - source.across;
    const above = up - source.up;
    const pitches = Math.sqrt(aside * aside + above * above);
    light += source.amplitude * response.at((pitches * slopePerPitch) / source.widthFactor);
  }
  return light;
}

/**
 * Fits lamps to the light of a shot's cells: first plainly, then with the full uncertainty of each cell and bisquare
 * weights, so that bent or leaking tubes don't pull.
 *
 * @param robustRounds - 0 for the plain fit alone
 */
export function fitSources(
  view: ShotView,
  optics: Optics,
  model: SourceModel,
  robustRounds = ROBUST_ROUNDS,
): SourceFit {
  let weights = evenWeights(view);
  let fit = leastSquares({ ...model, residuals: sourceResiduals(view, optics, model, weights) });
  for (let round = 0; round < robustRounds; round++) {
    weights = weighCells(view, optics, model, fit.parameters);
    fit = leastSquares({
      ...model,
      start: fit.parameters,
      residuals: sourceResiduals(view, optics, model, weights),
    });
  }
  return describeFit(view, optics, model, weights, fit);
}

/** A finished fit in the words of lamps. */
function describeFit(
  view: ShotView,
  optics: Optics,
  model: SourceModel,
  weights: CellWeights,
  fit: LeastSquaresFit,
): SourceFit {
  return {
    ...fit,
    sources: model.sources(fit.parameters),
    floor: model.floor(fit.parameters),
    model: lightOf(view, optics, model, fit.parameters),
    weights,
  };
}

/** Residuals of a fit: cells first, in the view's order, then what is known beforehand. */
export function sourceResiduals(view: ShotView, optics: Optics, model: SourceModel, weights: CellWeights) {
  const count = view.cells.length;
  const factor = residualFactors(weights);
  return (parameters: Float64Array) => {
    const light = lightOf(view, optics, model, parameters);
    const known = model.known(parameters);
    const residuals = new Float64Array(count + known.length);
    for (let i = 0; i < count; i++) residuals[i] = factor[i]! * (light[i]! - view.light[i]!);
    residuals.set(known, count);
    return residuals;
  };
}

/** What a cell's deviation is multiplied with in the residuals. */
export function residualFactors(weights: CellWeights): Float64Array {
  return weights.sigma.map((sigma, i) => Math.sqrt(weights.robust[i]!) / sigma);
}

/** Uncertainty and robust weight of each cell, as seen from a model that fits already in the main. */
export function weighCells(
  view: ShotView,
  optics: Optics,
  model: SourceModel,
  parameters: Float64Array,
): CellWeights {
  const light = lightOf(view, optics, model, parameters);
  const floor = model.floor(parameters);
  const gradient = lightGradient(view, optics, model.sources(parameters));
  const bare = light.map((value, i) =>
    Math.hypot(
      view.noise[i]!,
      view.transmissionError[i]! * (value - floor),
      optics.pointingScatter * Math.hypot(gradient.across[i]!, gradient.up[i]!),
    ),
  );
  const deviations = light.map((value, i) => (view.light[i]! - value) / bare[i]!);
  // Lit and dark cells apart: the many dark ones must not decide how far the lit ones may scatter.
  const brightest = light.reduce((most, value) => Math.max(most, value - floor), 0);
  const lit = light.map((value) => (value - floor > LIT_SHARE * brightest ? 1 : 0));
  const scatterOf = (kind: number) => {
    const some = deviations.map((value, i) => (lit[i] === kind ? value : Number.NaN));
    return Math.max(1, madScale(some, 0) || 1);
  };
  const scatter = [scatterOf(0), scatterOf(1)];
  return {
    sigma: bare.map((value, i) => value * scatter[lit[i]!]!),
    robust: deviations.map((value, i) => bisquare(value / (BISQUARE_SCALES * scatter[lit[i]!]!))),
    excess: scatter[1]!,
  };
}

/** Change of the modelled light with the slope of the tube's axis, to the right and upwards. */
export function lightGradient(view: ShotView, optics: Optics, sources: readonly Source[]) {
  const step = GRADIENT_STEP_PITCHES;
  const change = (moveAcross: number, moveUp: number) =>
    view.across.map((across, i) => {
      const light = (side: number) =>
        lightOfSources(
          sources,
          optics.response,
          optics.slopePerPitch,
          across + side * moveAcross,
          view.up[i]! + side * moveUp,
        );
      return (light(1) - light(-1)) / (2 * step * optics.slopePerPitch);
    });
  return { across: change(step, 0), up: change(0, step) };
}

export function lightOf(
  view: ShotView,
  optics: Optics,
  model: SourceModel,
  parameters: Float64Array,
): Float64Array {
  const sources = model.sources(parameters);
  const floor = model.floor(parameters);
  return view.across.map(
    (across, i) =>
      floor + lightOfSources(sources, optics.response, optics.slopePerPitch, across, view.up[i]!),
  );
}

function evenWeights(view: ShotView): CellWeights {
  const even = FIRST_ROUND_SHARE * view.light.reduce((most, value) => Math.max(most, value), 0);
  return {
    sigma: view.noise.map((noise) => Math.hypot(noise, even)),
    robust: new Float64Array(view.cells.length).fill(1),
    excess: 1,
  };
}
