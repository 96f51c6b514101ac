import type { Slopes } from '@twolamp/optics';
import type { ArraySpec, LampShot, Note } from '@twolamp/session';
import type { LitShot } from '../cell-light.js';
import { median } from '../statistics/robust.js';
import { type CommonAcceptance, learnCommonAcceptance, sharedPrior } from './common-acceptance.js';
import { fitTube, type TubeFit } from './fit-tube.js';
import { fitPointingField } from './pointing-field.js';
import { pointingNotes } from './pointing-notes.js';
import { startShape } from './start-shapes.js';
import { LEAST_LAMPS, type Sweep, sweepOf } from './sweep.js';
import { clearAnswers, type TubeData, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  BLUNT,
  CENTRE_ACROSS,
  CENTRE_UP,
  SMEAR_ACROSS,
  SMEAR_UP,
  type TubeShape,
  WIDTH,
  widthOfShape,
} from './tube-shape.js';

/** Lamps that must clearly light a tube before its direction is worked out. */
const LEAST_CLEAR = 3;
/** By so much must a shape of its own lessen the cost before a tube gets one: χ² of four, exceeded once in 1000. */
const OWN_SHAPE_GAIN = 18.5;
/** Straying of a tube of its own shape: of the log of its width, and of blunt and smear in radii at half maximum. */
const OWN_WIDTH = 0.5;
const OWN_ASIDE = 2;
/** A direction less sure than this share of the acceptance width is none. */
const MOST_UNSURE = 0.5;

/** Why a tube has no pointing. */
export type PointingGap = 'dark' | 'few lamps' | 'beyond the sweep' | 'unsure';

/** Departure of a tube's direction from the smooth field of all tubes. */
export interface PointingError {
  readonly acrossDeg: number;
  readonly upDeg: number;
  readonly totalDeg: number;
  /** The same along both axes as differences of slopes. */
  readonly across: number;
  readonly up: number;
}

/** Where one tube looks and how wide, from a sweep. Angles in degrees from the array's normal. */
export interface TubePointing {
  /** Centre of gravity of the acceptance, as the arctangent of its slope. */
  readonly acrossDeg: number;
  readonly upDeg: number;
  /** Standard uncertainty along one axis. */
  readonly uncertaintyDeg: number;
  /** Departure from the smooth field of all tubes; null where no field could be laid. */
  readonly error: PointingError | null;
  /** Full width at half maximum, mean over all directions, in light from the lamps' distance. */
  readonly acceptanceWidthDeg: number;
  readonly acceptanceWidthUncertaintyDeg: number;
  /** Log of its width over that of the shape all tubes share, and its standard uncertainty. */
  readonly widening: { readonly value: number; readonly sigma: number };
  /**
   * By how much χ² falls when the tube may have a shape of its own (one width more, blunt, drawn out to one side): three
   * parameters more. 0 where the shared shape fits as well as noise lets it.
   */
  readonly ownShapeGain: number;
  /** Whether that is significant; figures are then those of the shape of its own. */
  readonly ownShape: boolean;
  /** The acceptance itself, to evaluate against {@link PointingSurvey.common} with slopes off the due direction. */
  readonly shape: TubeShape;
}

export interface PointingSurvey {
  /** N in reading order; null = no pointing, and `gaps` says why. */
  readonly tubes: readonly (TubePointing | null)[];
  readonly gaps: readonly (PointingGap | null)[];
  /** The acceptance the tubes share; null without a usable sweep. */
  readonly common: CommonAcceptance | null;
  /** Its full width at half maximum; null likewise. */
  readonly typicalWidthDeg: number | null;
  /** Robust scatter of the tubes' directions about their smooth field, along one axis; null likewise. */
  readonly scatterDeg: number | null;
  readonly notes: readonly Note[];
}

/**
 * Where every tube looks and how wide, from one lamp shot at many places.
 *
 * Each tube's light against the lamp's direction, seen from its front end, is fitted by the acceptance that all tubes
 * share; see {@link learnCommonAcceptance}. A tube whose answers that shape can't explain gets one of its own.
 *
 * @param shots - one for each lamp place, N = rows × columns cells; fewer than 9 give a note and no pointing
 * @param relative - N relative transmissions in even light (NaN = unknown) or null; with them fewer lamps do
 * @param relativeSigma - their standard uncertainty; null with `relative`
 */
export function measurePointing(
  array: ArraySpec,
  shots: readonly LitShot<LampShot>[],
  relative: ArrayLike<number> | null,
  relativeSigma: ArrayLike<number> | null,
): PointingSurvey {
  const tubes = array.rows * array.columns;
  const sweep = shots.length >= LEAST_LAMPS ? sweepOf(array, shots) : null;
  const common = sweep && learnCommonAcceptance(sweep, array.columns, relative, relativeSigma);
  if (sweep === null || common === null) {
    return {
      tubes: new Array(tubes).fill(null),
      gaps: new Array(tubes).fill('few lamps'),
      common: null,
      typicalWidthDeg: null,
      scatterDeg: null,
      notes: pointingNotes(array, shots, null),
    };
  }
  const { count } = clearAnswers(sweep);
  const found = Array.from(count, (lit, tube) => pointTube(sweep, common, tube, lit));
  const slopes = (axis: 'across' | 'up') =>
    Float64Array.from(found, (one) => (typeof one === 'string' ? Number.NaN : one[axis]));
  const across = slopes('across');
  const up = slopes('up');
  const field = fitPointingField(across, up, array.columns);
  const result = found.map((one, tube): TubePointing | null => {
    if (typeof one === 'string') return null;
    const due = { across: sweep.dueAcross[tube]!, up: sweep.dueUp[tube]! };
    const acrossDeg = degrees(due.across + one.across);
    const upDeg = degrees(due.up + one.up);
    return {
      acrossDeg,
      upDeg,
      uncertaintyDeg: degrees(one.sigma),
      error: field && errorFrom(due, one, { across: field.across[tube]!, up: field.up[tube]! }),
      acceptanceWidthDeg: widthDegrees(one.width),
      acceptanceWidthUncertaintyDeg: widthDegrees(one.width) * one.widthSigma,
      widening: { value: one.widening, sigma: one.widthSigma },
      ownShapeGain: one.ownShapeGain,
      ownShape: one.ownShape,
      shape: one.shape,
    };
  });
  const typicalWidthDeg = median(result.map((one) => one?.acceptanceWidthDeg ?? Number.NaN));
  return {
    tubes: result,
    gaps: found.map((one) => (typeof one === 'string' ? one : null)),
    common,
    typicalWidthDeg: Number.isNaN(typicalWidthDeg) ? null : typicalWidthDeg,
    scatterDeg: field && degrees(field.scatter),
    notes: pointingNotes(array, shots, result),
  };
}

interface PointedTube {
  readonly shape: TubeShape;
  readonly ownShapeGain: number;
  readonly ownShape: boolean;
  readonly across: number;
  readonly up: number;
  readonly width: number;
  readonly sigma: number;
  readonly widening: number;
  readonly widthSigma: number;
}

function pointTube(
  sweep: Sweep,
  common: CommonAcceptance,
  tube: number,
  lit: number,
): PointedTube | PointingGap {
  if (lit === 0) return 'dark';
  if (lit < LEAST_CLEAR) return 'few lamps';
  const { acceptance } = common;
  const data = tubeData(sweep, tube, common.modelError, common.evenLight(tube));
  const start = startShape(acceptance, data);
  const shared = fitTube(acceptance, data, start, sharedPrior(common.straying));
  const spare = data.response.length - shared.determined;
  const own = shared.chi2 > spare ? fitOwnShape(acceptance, data, shared.shape) : shared;
  const ownShapeGain = shared.cost - own.cost;
  const ownShape = ownShapeGain > OWN_SHAPE_GAIN;
  const fit = ownShape ? own : shared;
  const across = fit.shape[CENTRE_ACROSS]!;
  const up = fit.shape[CENTRE_UP]!;
  if (!insideSweep(data, across, up, acceptance.halfRadius)) return 'beyond the sweep';

  // Where the model fits worse than its stated error, all is less sure.
  const free = Math.max(1, data.response.length - fit.determined);
  const stretch = Math.sqrt(Math.max(1, fit.chi2 / free));
  const sigmaOf = (parameter: number) =>
    stretch * Math.sqrt(fit.covariance[parameter * (Math.sqrt(fit.covariance.length) + 1)]!);
  const sigma = Math.hypot(sigmaOf(CENTRE_ACROSS), sigmaOf(CENTRE_UP)) / Math.SQRT2;
  const width = widthOfShape(acceptance, fit.shape);
  if (!(sigma < MOST_UNSURE * width)) return 'unsure';
  return {
    shape: fit.shape,
    ownShapeGain,
    ownShape,
    across,
    up,
    width,
    sigma,
    widening: Math.log(width / (2 * acceptance.halfRadius)),
    widthSigma: sigmaOf(WIDTH),
  };
}

/** The best fit with a shape of the tube's own, begun with its long side on each of four sides. */
function fitOwnShape(acceptance: AcceptanceProfile, data: TubeData, start: TubeShape): TubeFit {
  const aside = OWN_ASIDE * acceptance.halfRadius;
  const anywhere = Number.POSITIVE_INFINITY;
  const prior = Float64Array.of(anywhere, anywhere, anywhere, OWN_WIDTH, aside, aside, aside);
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
function insideSweep(data: TubeData, across: number, up: number, margin: number): boolean {
  const within = (value: number, directions: Float64Array) =>
    value > Math.min(...directions) - margin && value < Math.max(...directions) + margin;
  return within(across, data.across) && within(up, data.up);
}

/** All three as slopes: where the tube should look, where it does and where its neighbours' field does, both off that. */
function errorFrom(due: Slopes, found: Slopes, field: Slopes): PointingError {
  const angle = (axis: keyof Slopes) => degrees(due[axis] + found[axis]) - degrees(due[axis] + field[axis]);
  const acrossDeg = angle('across');
  const upDeg = angle('up');
  return {
    acrossDeg,
    upDeg,
    totalDeg: Math.hypot(acrossDeg, upDeg),
    across: found.across - field.across,
    up: found.up - field.up,
  };
}

function degrees(slope: number): number {
  return (Math.atan(slope) * 180) / Math.PI;
}

/** A width in slopes around an axis, in degrees. */
function widthDegrees(width: number): number {
  return 2 * degrees(width / 2);
}
