import type { Slopes } from '@twolamp/optics';
import { type CommonAcceptance, sharedPrior } from './common-acceptance.js';
import { fitTube, type TubeFit } from './fit-tube.js';
import type { ModelError } from './model-error.js';
import { fitHeight, startShape } from './start-shapes.js';
import type { Sweep } from './sweep.js';
import { brightestReading, type EvenLight, LEAST_CLEAR, type TubeData, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  BLUNT,
  CENTRE_ACROSS,
  CENTRE_UP,
  HEIGHT,
  lightOfShape,
  SMEAR_ACROSS,
  SMEAR_UP,
  roundShape,
  type TubeShape,
  WIDTH,
  widthOfShape,
} from './tube-shape.js';
import {
  LEAST_MODEL_ERROR,
  LEAST_NEAR_LIGHT,
  LEAST_OWN_LIGHT,
  MOST_UNCERTAIN,
  OWN_CENTRE_UNCERTAINTY,
  OWN_SHAPE_ERROR,
  OWN_SHAPE_PRIOR,
  SHARED_SHARE,
  SKEW_SHARE,
} from './tuning.js';

/** Tolerance. Prior of a tube with a shape of its own: standard deviation of the log of its width. */
const OWN_WIDTH_PRIOR = 0.5;

/** Drop in χ² that is no chance: with 4 degrees of freedom exceeded once in 1000, with 2 once in 10 000. */
export const CLEAR_GAIN = 18.5;

/** Why a tube has no pointing. */
export type PointingGap = 'dark' | 'few lamps' | 'beyond the sweep' | 'at its rim' | 'unsure';

/** Where one tube looks and how wide. */
export interface PointedTube {
  readonly shape: TubeShape;
  readonly ownShapeGain: number;
  readonly ownShape: boolean;
  /** Centre of gravity, slopes off the nominal direction, and its standard uncertainty along one axis. */
  readonly across: number;
  readonly up: number;
  readonly sigma: number;
  /** Full width at half maximum, a difference of slopes. */
  readonly width: number;
  /** Log of width over the shared width, and its standard uncertainty. */
  readonly widening: number;
  readonly widthSigma: number;
}

/** Offset of a tube's end at the sheet over the tube's length, and its standard uncertainty along one axis. */
export interface BackEnd {
  readonly across: number;
  readonly up: number;
  readonly sigma: number;
}

/**
 * Fits one tube of a sweep.
 *
 * @param lit - how many lamps clearly light it
 * @param back - how far its end at the sheet sits aside
 * @param near - direction of its neighbours' field, slopes off the nominal direction; null = not known yet
 * @returns the reason where its direction cannot be determined
 */
export function pointTube(
  sweep: Sweep,
  common: CommonAcceptance,
  tube: number,
  lit: number,
  back: BackEnd,
  near: Slopes | null,
): PointedTube | PointingGap {
  if (lit === 0) return 'dark';
  if (lit < LEAST_CLEAR) return 'few lamps';
  const { acceptance } = common;
  const data = tubeData(sweep, tube, common.modelError, common.evenLight(tube));
  const ownData = ownShapeData(sweep, tube, common.evenLight(tube));
  const free = fitShape(common, data, ownData, startShape(acceptance, data));
  const there = near && fitShape(common, data, ownData, roundAt(acceptance, data, near));
  // Lamps far apart may light a tube equally from two sides.
  const { fit, ownShape, ownShapeGain } = there && there.cost < free.cost + CLEAR_GAIN ? there : free;
  if (!(lightOfShape(acceptance, fit.shape) > LEAST_OWN_LIGHT * common.typicalLight)) return 'dark';
  if (!(brightestReading(data.response) > LEAST_NEAR_LIGHT * fit.shape[HEIGHT])) return 'unsure';
  if (!insideSweep(data, fit.shape, acceptance.halfRadius)) {
    const aside = near ?? { across: 0, up: 0 };
    const off = Math.hypot(fit.shape[CENTRE_ACROSS] - aside.across, fit.shape[CENTRE_UP] - aside.up);
    return off > acceptance.halfRadius ? 'beyond the sweep' : 'at its rim';
  }

  // Where the model fits worse than its stated error, uncertainties grow by the same factor.
  const spare = Math.max(1, data.response.length - fit.determined);
  const stretch = Math.sqrt(Math.max(1, fit.chi2 / spare));
  const sigmaOf = (parameter: number) =>
    stretch * Math.sqrt(fit.covariance[parameter * (Math.sqrt(fit.covariance.length) + 1)]);
  // A straight tube that looks aside has its front end displaced, and sees the lamp from there in another direction.
  // With s = length ÷ lamp distance and the ends' offsets ÷ length f and b, the lamp is seen best at (f − b) + s·f off
  // the nominal direction, and the tube looks f − b aside.
  const ahead = ownShape ? 1 : 1 / (1 + sweep.lengthShare);
  const shape = Float64Array.from(fit.shape);
  shape[CENTRE_ACROSS] = ahead * shape[CENTRE_ACROSS] - (1 - ahead) * back.across;
  shape[CENTRE_UP] = ahead * shape[CENTRE_UP] - (1 - ahead) * back.up;
  const width = widthOfShape(acceptance, shape);
  const noise = (ahead * Math.hypot(sigmaOf(CENTRE_ACROSS), sigmaOf(CENTRE_UP))) / Math.SQRT2;
  // Light that the shared acceptance doesn't explain, such as a slight bow's, may lie to one side and move the centre of gravity.
  const leftOver = Math.sqrt(Math.max(0, common.modelError.share ** 2 - LEAST_MODEL_ERROR.share ** 2));
  const skew = SKEW_SHARE * leftOver * width;
  // Few lamps leave the shared acceptance uncertain, and with it where in it they stand.
  const shared = SHARED_SHARE * common.widthShare ** 2 * width;
  const sigma = ownShape
    ? Math.hypot(noise, OWN_CENTRE_UNCERTAINTY * width)
    : Math.hypot(noise, (1 - ahead) * back.sigma, skew, shared);
  if (!(sigma < MOST_UNCERTAIN * width)) return 'unsure';
  return {
    shape,
    ownShapeGain,
    ownShape,
    across: shape[CENTRE_ACROSS],
    up: shape[CENTRE_UP],
    width,
    sigma,
    widening: Math.log(width / (2 * acceptance.halfRadius)),
    widthSigma: sigmaOf(WIDTH),
  };
}

interface ShapeFit {
  readonly fit: TubeFit;
  /** χ² and prior with the error of the shared shape. */
  readonly cost: number;
  readonly ownShape: boolean;
  readonly ownShapeGain: number;
}

/** A tube's readings with the model error of a shape of its own. @param evenLight - see {@link tubeData} */
export function ownShapeData(sweep: Sweep, tube: number, evenLight: EvenLight | null): TubeData {
  const from = tube * sweep.lamps;
  const brightest = brightestReading(sweep.response.subarray(from, from + sweep.lamps));
  const error: ModelError = { share: OWN_SHAPE_ERROR.share, floor: OWN_SHAPE_ERROR.ofBrightest * brightest };
  return tubeData(sweep, tube, error, evenLight);
}

/** The best fit of the shared acceptance from two starts: towards the brightest lamp, and along the neighbours' field. */
export function fitStraight(common: CommonAcceptance, data: TubeData, near: Slopes): TubeFit {
  const { acceptance, widthScatter } = common;
  const [free, there] = [startShape(acceptance, data), roundAt(acceptance, data, near)].map((start) =>
    fitTube(acceptance, data, start, sharedPrior(widthScatter)),
  ) as [TubeFit, TubeFit];
  return there.cost < free.cost ? there : free;
}

/**
 * The best fit from a start: of the shared shape, or of a free one where that lowers χ² significantly.
 *
 * @param ownData - the same readings with the model error of free shapes, which those are fitted with
 */
function fitShape(common: CommonAcceptance, data: TubeData, ownData: TubeData, start: TubeShape): ShapeFit {
  const { acceptance } = common;
  const shared = fitTube(acceptance, data, start, sharedPrior(common.widthScatter));
  const typical = { fit: shared, cost: shared.cost, ownShape: false, ownShapeGain: 0 };
  if (!(shared.chi2 > data.response.length - shared.determined)) return typical;
  const prior = ownPrior(acceptance);
  const own = fitOwnShape(acceptance, ownData, shared.shape, prior);
  const { cost } = fitTube(acceptance, data, own.shape, prior);
  const ownShapeGain = shared.cost - cost;
  return ownShapeGain > CLEAR_GAIN
    ? { fit: own, cost, ownShape: true, ownShapeGain }
    : { ...typical, ownShapeGain };
}

function roundAt(acceptance: AcceptanceProfile, data: TubeData, { across, up }: Slopes): TubeShape {
  return roundShape(fitHeight(acceptance, data, across, up).height, across, up);
}

function ownPrior({ halfRadius }: AcceptanceProfile): Float64Array {
  const aside = OWN_SHAPE_PRIOR * halfRadius;
  const anywhere = Number.POSITIVE_INFINITY;
  return Float64Array.of(anywhere, anywhere, anywhere, OWN_WIDTH_PRIOR, aside, aside, aside);
}

/** The best fit of a free shape, started with its long side on each of four sides. */
function fitOwnShape(
  acceptance: AcceptanceProfile,
  data: TubeData,
  start: TubeShape,
  prior: Float64Array,
): TubeFit {
  return [0, 1, 2, 3]
    .map((quarter) => {
      const from = Float64Array.from(start);
      from[BLUNT] = 0.3 * acceptance.halfRadius;
      from[SMEAR_ACROSS] = 0.3 * acceptance.halfRadius * Math.cos((quarter * Math.PI) / 2);
      from[SMEAR_UP] = 0.3 * acceptance.halfRadius * Math.sin((quarter * Math.PI) / 2);
      return fitTube(acceptance, data, from, prior);
    })
    .reduce((best, one) => (one.cost < best.cost ? one : best));
}

/** Whether the lamps reach to within half an acceptance of where the tube looks, on all four sides. */
function insideSweep(data: TubeData, shape: TubeShape, margin: number): boolean {
  const within = (value: number, directions: Float64Array) =>
    value > Math.min(...directions) - margin && value < Math.max(...directions) + margin;
  return within(shape[CENTRE_ACROSS], data.across) && within(shape[CENTRE_UP], data.up);
}
