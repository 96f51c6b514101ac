import { Matrix } from 'ml-matrix';
import { derivatives } from './least-squares.js';
import { type Minimum, minimise } from './marquardt.js';
import { type RadialResponse, type ResponseShape, shapedResponse } from './radial-response.js';
import type { ShotView } from './shot-view.js';
import { type CellWeights, type SourceModel, sourceResiduals } from './source-fit.js';

/** A shot ready to be fitted together with others. */
export interface WeighedShot {
  readonly view: ShotView;
  readonly slopePerPitch: number;
  readonly model: SourceModel;
  readonly weights: CellWeights;
  readonly parameters: Float64Array;
}

export interface JointFit {
  readonly shape: ResponseShape;
  /** Parameters of each shot's model. */
  readonly shots: readonly Float64Array[];
  readonly stopped: Minimum['stopped'];
}

/** Knowledge of the shape beforehand, for shots that show little of it (common practice, no source). */
const BLUR_LOGIT = { mean: -0.5, sigma: 1.5 };
const TAIL_LOGIT = { mean: -2, sigma: 2 };
const TAIL_WIDTH_LN = { mean: Math.log(2), sigma: 0.7 };
const THETA_SCALE = [0.1, 0.5, 0.5, 0.3];
const THETA_STEP = 1e-3;
const SETTLED = 1e-6;

export const UNKNOWN_SHAPE: Omit<ResponseShape, 'coreSlope'> = shapeOf(
  Float64Array.of(0, BLUR_LOGIT.mean, TAIL_LOGIT.mean, TAIL_WIDTH_LN.mean),
);

/**
 * One response and the lamps of all shots, fitted together, so that the places of the lamps and the response they
 * show don't chase each other.
 */
export function fitJointly(shots: readonly WeighedShot[], start: ResponseShape): JointFit {
  const shared = thetaOf(start);
  const offsets: number[] = [];
  let size = shared.length;
  for (const shot of shots) {
    offsets.push(size);
    size += shot.parameters.length;
  }
  const begin = new Float64Array(size);
  begin.set(shared);
  shots.forEach((shot, index) => {
    begin.set(shot.parameters, offsets[index]!);
  });
  const partOf = (parameters: Float64Array, index: number) =>
    parameters.slice(offsets[index]!, offsets[index]! + shots[index]!.parameters.length);
  const thetaIn = (parameters: Float64Array) => parameters.slice(0, shared.length);
  const residualsOf = (shot: WeighedShot, response: RadialResponse) => {
    const optics = { response, slopePerPitch: shot.slopePerPitch, pointingScatter: 0 };
    return sourceResiduals(shot.view, optics, shot.model, shot.weights);
  };

  const chiSquareAt = (parameters: Float64Array) => {
    const theta = thetaIn(parameters);
    const response = shapedResponse(shapeOf(theta));
    let sum = squares(knownOf(theta));
    shots.forEach((shot, index) => {
      sum += squares(residualsOf(shot, response)(partOf(parameters, index)));
    });
    return sum;
  };

  const equationsAt = (parameters: Float64Array) => {
    const theta = thetaIn(parameters);
    const response = shapedResponse(shapeOf(theta));
    const moved = THETA_SCALE.map((scale, column) => {
      const step = THETA_STEP * scale;
      const at = (side: number) => {
        const trial = theta.slice();
        trial[column]! += side * step;
        return shapedResponse(shapeOf(trial));
      };
      return { step, above: at(1), below: at(-1) };
    });
    const curvature = Matrix.zeros(size, size);
    const slope = new Float64Array(size);
    const add = (
      places: readonly number[],
      jacobian: readonly ArrayLike<number>[],
      values: ArrayLike<number>,
    ) => {
      places.forEach((i, a) => {
        slope[i]! += dot(jacobian[a]!, values);
        places.forEach((j, b) => {
          curvature.set(i, j, curvature.get(i, j) + dot(jacobian[a]!, jacobian[b]!));
        });
      });
    };
    const sharedPlaces = [...shared.keys()];
    shots.forEach((shot, index) => {
      const part = partOf(parameters, index);
      const residuals = residualsOf(shot, response);
      const own = derivatives(residuals, part, shot.model.scale);
      const common = moved.map(({ step, above, below }) => {
        const low = residualsOf(shot, below)(part);
        return residualsOf(shot, above)(part).map((value, row) => (value - low[row]!) / (2 * step));
      });
      const places = Array.from(part, (_, column) => offsets[index]! + column);
      add([...sharedPlaces, ...places], [...common, ...own], residuals(part));
    });
    add(sharedPlaces, derivatives(knownOf, theta, THETA_SCALE), knownOf(theta));
    return { curvature, slope };
  };

  const { parameters, stopped } = minimise(begin, chiSquareAt, equationsAt, SETTLED);
  return {
    shape: shapeOf(thetaIn(parameters)),
    shots: shots.map((_, index) => partOf(parameters, index)),
    stopped,
  };
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let index = 0; index < a.length; index++) sum += a[index]! * b[index]!;
  return sum;
}

function squares(values: ArrayLike<number>): number {
  return dot(values, values);
}

function logistic(value: number): number {
  return 1 / (1 + Math.exp(-value));
}

function logit(share: number): number {
  return Math.log(share / (1 - share));
}

/** ln core width, logits of the blur's and the tail's shares, ln of how much wider the tail is. */
function shapeOf(theta: Float64Array): ResponseShape {
  return {
    coreSlope: Math.exp(theta[0]!),
    blurShare: logistic(theta[1]!),
    tailShare: logistic(theta[2]!),
    tailWidth: 1 + Math.exp(theta[3]!),
  };
}

function thetaOf(shape: ResponseShape): Float64Array {
  return Float64Array.of(
    Math.log(shape.coreSlope),
    logit(shape.blurShare),
    logit(shape.tailShare),
    Math.log(shape.tailWidth - 1),
  );
}

function knownOf(theta: Float64Array): Float64Array {
  return Float64Array.from(
    [BLUR_LOGIT, TAIL_LOGIT, TAIL_WIDTH_LN],
    ({ mean, sigma }, index) => (theta[index + 1]! - mean) / sigma,
  );
}
