import type { Slopes } from '@twolamp/optics';
import { type CommonAcceptance, sharedPrior } from './common-acceptance.js';
import { fitTube, type TubeFit } from './fit-tube.js';
import type { ModelError } from './model-error.js';
import { fitHeight, roundShape, startShape } from './start-shapes.js';
import type { Sweep } from './sweep.js';
import { brightestAnswer, type EvenLight, LEAST_CLEAR, type TubeData, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  BLUNT,
  CENTRE_ACROSS,
  CENTRE_UP,
  lightOfShape,
  SMEAR_ACROSS,
  SMEAR_UP,
  type TubeShape,
  WIDTH,
  widthOfShape,
} from './tube-shape.js';
import {
  LEAST_OWN_LIGHT,
  MOST_UNCERTAIN,
  OWN_CENTRE_UNCERTAINTY,
  OWN_SHAPE_ERROR,
  OWN_SHAPE_PRIOR,
  OWN_WIDTH_PRIOR,
} from './tuning.js';

/** By so much must a shape of its own lessen the cost before a tube gets one: χ² of four, exceeded once in 1000. */
const OWN_SHAPE_GAIN = 18.5;
/**
 * Lamps far apart may light a tube alike from two sides: the answer nearer the neighbours' field stands unless χ² falls
 * by more than this farther off, which chance does once in 10 000.
 */
const CANT_TELL = 18.5;

/** Why a tube has no pointing. */
export type PointingGap = 'dark' | 'few lamps' | 'beyond the sweep' | 'at its rim' | 'unsure';

/** Where one tube looks and how wide. */
export interface PointedTube {
  readonly shape: TubeShape;
  readonly ownShapeGain: number;
  readonly ownShape: boolean;
  /** Centre of gravity, slopes off the due direction, and its standard uncertainty along one axis. */
  readonly across: number;
  readonly up: number;
  readonly sigma: number;
  /** Full width at half maximum, a difference of slopes. */
  readonly width: number;
  /** Log of the width over the shared one, and its standard uncertainty. */
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
 * @param near - where its neighbours' field has it look, slopes off the due direction; null = not known yet
 * @returns why not, where its direction can't be told
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
  const roughly = roughData(sweep, tube, common.evenLight(tube));
  const free = fitShape(common, data, roughly, startShape(acceptance, data));
  const there = near && fitShape(common, data, roughly, roundAt(acceptance, data, near));
  const { fit, ownShape, ownShapeGain } = there && there.cost < free.cost + CANT_TELL ? there : free;
  if (!(lightOfShape(acceptance, fit.shape) > LEAST_OWN_LIGHT * common.usualLight)) return 'dark';
  if (!insideSweep(data, fit.shape, acceptance.halfRadius)) {
    const aside = near ?? { across: 0, up: 0 };
    const off = Math.hypot(fit.shape[CENTRE_ACROSS] - aside.across, fit.shape[CENTRE_UP] - aside.up);
    return off > acceptance.halfRadius ? 'beyond the sweep' : 'at its rim';
  }

  // Where the model fits worse than its stated error, all is less sure.
  const spare = Math.max(1, data.response.length - fit.determined);
  const stretch = Math.sqrt(Math.max(1, fit.chi2 / spare));
  const sigmaOf = (parameter: number) =>
    stretch * Math.sqrt(fit.covariance[parameter * (Math.sqrt(fit.covariance.length) + 1)]);
  // A straight tube looks aside because its front end sits aside of the back one, whence it also sees the lamp in
  // another direction. Let s be length ÷ lamp distance, f and b the ends' offsets ÷ length: the lamp is seen best at
  // (f − b) + s·f off the due direction, and the tube looks f − b aside.
  const ahead = ownShape ? 1 : 1 / (1 + sweep.lengthShare);
  const shape = Float64Array.from(fit.shape);
  shape[CENTRE_ACROSS] = ahead * shape[CENTRE_ACROSS] - (1 - ahead) * back.across;
  shape[CENTRE_UP] = ahead * shape[CENTRE_UP] - (1 - ahead) * back.up;
  const width = widthOfShape(acceptance, shape);
  const noise = (ahead * Math.hypot(sigmaOf(CENTRE_ACROSS), sigmaOf(CENTRE_UP))) / Math.SQRT2;
  const sigma = Math.hypot(noise, ownShape ? OWN_CENTRE_UNCERTAINTY * width : (1 - ahead) * back.sigma);
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
  /** What the answers' own uncertainties make of it. */
  readonly cost: number;
  readonly ownShape: boolean;
  readonly ownShapeGain: number;
}

/** A tube's answers with the error of shapes of its own. @param evenLight - see {@link tubeData} */
export function roughData(sweep: Sweep, tube: number, evenLight: EvenLight | null): TubeData {
  const from = tube * sweep.lamps;
  const brightest = brightestAnswer(sweep.response.subarray(from, from + sweep.lamps));
  const error: ModelError = { share: OWN_SHAPE_ERROR.share, floor: OWN_SHAPE_ERROR.ofBrightest * brightest };
  return tubeData(sweep, tube, error, evenLight);
}

/** The best fit of the shared acceptance, begun where the brightest lamp stands and where the neighbours look. */
export function fitStraight(common: CommonAcceptance, data: TubeData, near: Slopes): TubeFit {
  const { acceptance, straying } = common;
  const [free, there] = [startShape(acceptance, data), roundAt(acceptance, data, near)].map((start) =>
    fitTube(acceptance, data, start, sharedPrior(straying)),
  ) as [TubeFit, TubeFit];
  return there.cost < free.cost ? there : free;
}

/**
 * The best fit from a start, of the shared shape, or of one of its own where that explains clearly more.
 *
 * @param roughly - the same answers with the error of shapes of its own, by which those are fitted
 */
function fitShape(common: CommonAcceptance, data: TubeData, roughly: TubeData, start: TubeShape): ShapeFit {
  const { acceptance } = common;
  const shared = fitTube(acceptance, data, start, sharedPrior(common.straying));
  const usual = { fit: shared, cost: shared.cost, ownShape: false, ownShapeGain: 0 };
  if (!(shared.chi2 > data.response.length - shared.determined)) return usual;
  const prior = ownPrior(acceptance);
  const own = fitOwnShape(acceptance, roughly, shared.shape, prior);
  const { cost } = fitTube(acceptance, data, own.shape, prior);
  const ownShapeGain = shared.cost - cost;
  return ownShapeGain > OWN_SHAPE_GAIN
    ? { fit: own, cost, ownShape: true, ownShapeGain }
    : { ...usual, ownShapeGain };
}

function roundAt(acceptance: AcceptanceProfile, data: TubeData, { across, up }: Slopes): TubeShape {
  return roundShape(fitHeight(acceptance, data, across, up).height, across, up);
}

function ownPrior({ halfRadius }: AcceptanceProfile): Float64Array {
  const aside = OWN_SHAPE_PRIOR * halfRadius;
  const anywhere = Number.POSITIVE_INFINITY;
  return Float64Array.of(anywhere, anywhere, anywhere, OWN_WIDTH_PRIOR, aside, aside, aside);
}

/** The best fit with a shape of the tube's own, begun with its long side on each of four sides. */
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
