import { bisquare, NormalEquations, solveEquations } from '@twolamp/numeric';
import type { TubeLayout } from '@twolamp/optics';
import type { TubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  CENTRE_ACROSS,
  CENTRE_UP,
  evaluateShape,
  HEIGHT,
  SHAPE_SIZE,
  roundShape,
  type TubeShape,
} from './tube-shape.js';
import { COMMON_FAN_PRIOR, OUTLIER_SIGMAS } from './tuning.js';

/** Terms of a plane. */
const TERMS = 3;
const SIZE = 2 * TERMS + 1;

/** Longest step, a share of the acceptance's mean radius. */
const MOST_STEP = 0.5;

/**
 * What all tubes have in common before any of them is known by itself: their directions off the nominal ones, as a plane over the
 * array (lamps stated aside of where they stand, an array that stands askew or fans out otherwise than stated), and their height.
 */
export interface CommonField {
  /** Coefficients of 1, across and up; slopes, places in halves of the array. */
  readonly across: readonly [number, number, number];
  readonly up: readonly [number, number, number];
  /** Reading of a tube of relative transmission 1 whose axis meets the lamp. */
  readonly height: number;
}

/** The shape that a tube has with a common field. @param relative - its relative transmission */
export function shapeInField(
  field: CommonField,
  layout: TubeLayout,
  tube: number,
  relative: number,
): TubeShape {
  return roundShape(field.height * relative, ...centreInField(field, layout, tube));
}

/** Where a tube looks with a common field, across and up: slopes off its nominal direction. */
export function centreInField(field: CommonField, layout: TubeLayout, tube: number): [number, number] {
  const [x, y] = placeOf(layout, tube);
  const at = ([one, across, up]: CommonField['across']) => one + across * x + up * y;
  return [at(field.across), at(field.up)];
}

/**
 * One Gauss-Newton step of the field under a given profile, over all readings of the tubes; outliers count less.
 *
 * @param tubes - numbers of those that `data` has
 * @param relative - N relative transmissions
 */
export function improveField(
  acceptance: AcceptanceProfile,
  field: CommonField,
  layout: TubeLayout,
  tubes: readonly number[],
  data: readonly TubeData[],
  relative: ArrayLike<number>,
): CommonField {
  const equations = new NormalEquations(SIZE);
  const gradient = new Float64Array(SHAPE_SIZE);
  const row = new Float64Array(SIZE);
  tubes.forEach((tube, i) => {
    const { across, up, response, sigma, clipped } = data[i];
    const shape = shapeInField(field, layout, tube, relative[tube]);
    const terms = [1, ...placeOf(layout, tube)];
    for (let k = 0; k < response.length; k++) {
      if (clipped[k] === 1) continue;
      const off = response[k] - evaluateShape(acceptance.profile, shape, across[k], up[k], gradient);
      const weight = bisquare(off / (OUTLIER_SIGMAS * sigma[k])) / sigma[k] ** 2;
      if (weight === 0) continue;
      terms.forEach((term, n) => {
        row[n] = gradient[CENTRE_ACROSS] * term;
        row[TERMS + n] = gradient[CENTRE_UP] * term;
      });
      row[2 * TERMS] = gradient[HEIGHT] * relative[tube];
      equations.add(row, weight, off);
    }
  });
  const before = [...field.across, ...field.up];
  const fan = COMMON_FAN_PRIOR * acceptance.meanRadius;
  for (let n = 0; n < 2 * TERMS; n++) {
    if (n % TERMS !== 0) equations.addPrior(n, 1 / fan ** 2, -before[n]);
  }
  const step = solveEquations(equations);
  // Not farther than the acceptance is wide: beyond that it isn't linear.
  const reach = Math.max(...step.slice(0, 2 * TERMS).map(Math.abs));
  const share = Math.min(1, (MOST_STEP * acceptance.meanRadius) / reach);
  const after = before.map((value, n) => value + share * step[n]);
  return {
    across: [after[0], after[1], after[2]],
    up: [after[3], after[4], after[5]],
    height: field.height + share * step[2 * TERMS],
  };
}

function placeOf(layout: TubeLayout, tube: number): [number, number] {
  const half = Math.sqrt(layout.count) / 2;
  return [layout.across[tube] / half, layout.up[tube] / half];
}
