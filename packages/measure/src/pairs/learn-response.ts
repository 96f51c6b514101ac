import type { ArrayGeometry } from '@twolamp/optics';
import type { LampShot, PairShot } from '@twolamp/session';
import { median } from '../statistics/robust.js';
import { fitJointly, UNKNOWN_SHAPE, type WeighedShot } from './joint-response.js';
import { expectedPlace, lampsAt, middleOf, type PitchPlace } from './lamp-places.js';
import {
  gaussianResponse,
  type RadialResponse,
  type ResponseShape,
  shapedResponse,
} from './radial-response.js';
import { scatterOf } from './pointing-scatter.js';
import { type Knowledge, lampModel } from './shot-models.js';
import { nearPlaces } from './shot-view.js';
import { fitSources, weighCells, type Optics } from './source-fit.js';
import { type StartedShot, startShot, type ViewedShot } from './start-shots.js';

export interface LearnedResponse {
  readonly response: RadialResponse;
  readonly shape: ResponseShape;
  /** Standard deviation of the tubes' pointing errors in each direction, as a slope. */
  readonly pointingScatter: number;
  /** Where lamps are found against where the tape measure puts them, as a slope: the same for all shots. */
  readonly aim: PitchPlace;
  /** How many shots the response rests on. */
  readonly shots: number;
  readonly stopped: 'converged' | 'step-limit' | 'not-finite';
}

const MARGIN_PITCHES = 2;
const ROUNDS = 5;
const START_POINTING_SCATTER = 0.1;
/** More shots than this only cost time. */
const MOST_SHOTS = 24;
const LEARNING: Knowledge = { placePitches: 2, width: 0.02, separation: 0.03 };
/** How far a shape of four parameters may miss the true one, against the light on the axis (common practice, no source). */
const SHAPE_ERROR = 0.01;

/**
 * The array's response to one lamp, learned from shots of one or two lamps: light ÷ transmission of all cells against
 * the slope between the tube's axis and the lamp, pooled over shots, no shape given beforehand.
 *
 * Pairs serve where no lamp was shot alone: their separation is then taken as measured by tape.
 *
 * @returns null where no shot lights enough cells
 */
export function learnResponse(
  array: ArrayGeometry,
  shots: readonly ViewedShot<LampShot | PairShot>[],
): LearnedResponse | null {
  let learning = spread(shots, MOST_SHOTS).flatMap((one) => startShot(array, one) ?? []);
  if (learning.length === 0) return null;
  let shape: ResponseShape = {
    ...UNKNOWN_SHAPE,
    coreSlope: gaussianResponse(
      median(learning.map(({ sources, slopePerPitch }) => sources[0]!.widthFactor * slopePerPitch)),
    ).halfWidthSlope,
  };
  let response = shapedResponse(shape);
  let pointingScatter = START_POINTING_SCATTER * shape.coreSlope;
  let stopped: LearnedResponse['stopped'] = 'step-limit';
  for (let round = 0; round < ROUNDS; round++) {
    const opticsOf = (one: StartedShot): Optics => ({
      response,
      slopePerPitch: one.slopePerPitch,
      pointingScatter,
    });
    const weighed = learning.map((one) => weigh(one, opticsOf(one)));
    const joint = fitJointly(weighed, shape);
    ({ shape, stopped } = joint);
    response = shapedResponse(shape);
    learning = learning.map((one, index) => ({
      ...one,
      sources: weighed[index]!.model.sources(joint.shots[index]!),
    }));
    pointingScatter = scatterOf(
      weighed.map((shot, index) => {
        const optics = opticsOf(learning[index]!);
        return { ...shot, optics, parameters: joint.shots[index]! };
      }),
    );
  }
  return { response, shape, pointingScatter, aim: aimOf(array, learning), shots: learning.length, stopped };
}

/** Evenly chosen ones of a list, at most `most`. */
function spread<T>(values: readonly T[], most: number): T[] {
  const step = Math.max(1, values.length / most);
  return Array.from(
    { length: Math.min(values.length, most) },
    (_, index) => values[Math.floor(index * step)]!,
  );
}

function weigh(one: StartedShot, optics: Optics): WeighedShot {
  const place = middleOf(one.sources);
  const amplitude = Math.max(...one.sources.map((source) => source.amplitude));
  const radius = optics.response.reachSlope / one.slopePerPitch + MARGIN_PITCHES;
  const view = nearPlaces(one.view, lampsAt(place, one.offsets), radius);
  const model = lampModel(place, one.offsets, amplitude, LEARNING);
  const { parameters } = fitSources(view, optics, model, 1);
  const { sigma, robust, excess } = weighCells(view, optics, model, parameters);
  const weights = { sigma: sigma.map((value) => Math.hypot(value, SHAPE_ERROR * amplitude)), robust, excess };
  return { view, slopePerPitch: one.slopePerPitch, model, weights, parameters };
}

function aimOf(array: ArrayGeometry, learning: readonly StartedShot[]): PitchPlace {
  const differences = learning.map(({ shot, sources, slopePerPitch }) => {
    const found = middleOf(sources);
    const expected = expectedPlace(array, shot);
    return {
      across: (found.across - expected.across) * slopePerPitch,
      up: (found.up - expected.up) * slopePerPitch,
    };
  });
  return {
    across: median(differences.map(({ across }) => across)),
    up: median(differences.map(({ up }) => up)),
  };
}
