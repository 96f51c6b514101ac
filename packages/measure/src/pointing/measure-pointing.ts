import { type Slopes, type TubeLayout, tubeLayout } from '@twolamp/optics';
import type { ArraySpec, Finding, LampShot } from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import type { BackDepartures } from '@twolamp/places';
import { fitPointingField, median, type PointingField } from '@twolamp/numeric';
import { type CommonAcceptance, learnCommonAcceptance } from './common-acceptance.js';
import { type BackEnd, type PointedTube, type PointingGap, pointTube } from './point-tube.js';
import { pointingFindings } from './pointing-findings.js';
import { LEAST_LAMPS, type Sweep, sweepOf } from './sweep.js';
import { clearReadings } from './tube-data.js';
import type { TubeShape } from './tube-shape.js';
import { STANDS_OUT } from './tuning.js';

export type { PointingGap } from './point-tube.js';

/** Departure of a tube's direction from the smooth field of all tubes. */
interface PointingError {
  readonly acrossDeg: number;
  readonly upDeg: number;
  readonly totalDeg: number;
  /** Standard uncertainty along one axis, of the direction and of the field. */
  readonly uncertaintyDeg: number;
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
  /** Departure from the smooth field of all tubes; null where there is no field. */
  readonly error: PointingError | null;
  /** Full width at half maximum, mean over all directions, in light from the lamps' distance. */
  readonly acceptanceWidthDeg: number;
  readonly acceptanceWidthUncertaintyDeg: number;
  /** Log of its width over that of the shape all tubes share, and its standard uncertainty. */
  readonly widening: { readonly value: number; readonly sigma: number };
  /** Drop in χ² with a free shape (flattened, smeared to one side, of free width); 0 where the shared shape fits. */
  readonly ownShapeGain: number;
  /** Whether that is significant; figures are then those of the shape of its own. */
  readonly ownShape: boolean;
  /** The acceptance itself: parameters of {@link PointingSurvey.common}, slopes off the nominal direction. */
  readonly shape: TubeShape;
}

export interface PointingSurvey {
  /** N in reading order; null = no pointing, and `gaps` says why. */
  readonly tubes: readonly (TubePointing | null)[];
  readonly gaps: readonly (PointingGap | null)[];
  /** What it was found from, and the acceptance the tubes share; both null without a usable sweep. */
  readonly sweep: Sweep | null;
  readonly common: CommonAcceptance | null;
  /** The smooth field of all tubes' directions, slopes off the nominal ones; null with too few tubes. */
  readonly field: PointingField | null;
  /** Full width at half maximum of the acceptance the tubes share; null without a usable sweep. */
  readonly typicalWidthDeg: number | null;
  /** Robust scatter of the tubes' directions about their smooth field, along one axis; null likewise. */
  readonly scatterDeg: number | null;
  readonly findings: readonly Finding[];
}

/**
 * Where every tube looks and how wide, from one lamp shot at many places.
 *
 * Each tube's light against the lamp's direction, seen from its front end, is fitted by the acceptance that all tubes
 * share; see {@link learnCommonAcceptance}. A tube that this shape does not fit gets a free one.
 *
 * @param shots - one for each lamp place, of the array's N tubes; fewer than 9 give a finding and no pointing
 * @param lampDiameterMm - across the part that shines
 * @param relative - N relative transmissions in even light (NaN = unknown) or null; with them fewer lamps do
 * @param relativeSigma - their standard uncertainty; null with `relative`
 * @param backs - how far the tubes' ends at the sheet sit from their stated places; null = not known, taken as none
 */
export function measurePointing(
  array: ArraySpec,
  shots: readonly LitShot<LampShot>[],
  lampDiameterMm: number,
  relative: ArrayLike<number> | null,
  relativeSigma: ArrayLike<number> | null,
  backs: BackDepartures | null,
): PointingSurvey {
  const layout = tubeLayout(array);
  const tubes = layout.count;
  const sweep = shots.length >= LEAST_LAMPS ? sweepOf(array, shots, lampDiameterMm) : null;
  const common = sweep && learnCommonAcceptance(sweep, layout, relative, relativeSigma);
  if (sweep === null || common === null) {
    return {
      tubes: new Array(tubes).fill(null),
      gaps: new Array(tubes).fill('few lamps'),
      sweep: null,
      common: null,
      field: null,
      typicalWidthDeg: null,
      scatterDeg: null,
      findings: pointingFindings(shots, null, []),
    };
  }
  const { count } = clearReadings(sweep);
  const point = (tube: number, near: Slopes | null) =>
    pointTube(sweep, common, tube, count[tube], backEnd(array, backs, tube), near);
  const first = Array.from(count, (_, tube) => point(tube, null));
  const firstField = fieldOf(first, layout);
  const found = first.map((one, tube) => {
    if (firstField === null) return one;
    const near = { across: firstField.across[tube], up: firstField.up[tube] };
    return standsOut(one, near, firstField.scatter) ? point(tube, near) : one;
  });
  const field = fieldOf(found, layout);
  const result = found.map((one, tube): TubePointing | null => {
    if (typeof one === 'string') return null;
    const due = { across: sweep.nominalAcross[tube], up: sweep.nominalUp[tube] };
    const acrossDeg = degrees(due.across + one.across);
    const upDeg = degrees(due.up + one.up);
    return {
      acrossDeg,
      upDeg,
      uncertaintyDeg: degrees(one.sigma),
      error: field && errorFrom(due, one, field, tube),
      acceptanceWidthDeg: widthDegrees(one.width),
      acceptanceWidthUncertaintyDeg: widthDegrees(one.width) * Math.hypot(one.widthSigma, common.widthShare),
      widening: { value: one.widening, sigma: one.widthSigma },
      ownShapeGain: one.ownShapeGain,
      ownShape: one.ownShape,
      shape: one.shape,
    };
  });
  const gaps = found.map((one) => (typeof one === 'string' ? one : null));
  const typicalWidthDeg = median(result.map((one) => one?.acceptanceWidthDeg ?? Number.NaN));
  return {
    tubes: result,
    gaps,
    sweep,
    common,
    field,
    typicalWidthDeg: Number.isNaN(typicalWidthDeg) ? null : typicalWidthDeg,
    scatterDeg: field && degrees(field.scatter),
    findings: pointingFindings(shots, result, gaps),
  };
}

type Pointed = PointedTube | PointingGap;

function fieldOf(found: readonly Pointed[], layout: TubeLayout): PointingField | null {
  const slopes = (axis: 'across' | 'up') =>
    Float64Array.from(found, (one) => (typeof one === 'string' ? Number.NaN : one[axis]));
  return fitPointingField(slopes('across'), slopes('up'), layout);
}

function standsOut(one: Pointed, near: Slopes, scatter: number): boolean {
  if (typeof one === 'string') return one === 'beyond the sweep' || one === 'at its rim';
  return Math.hypot(one.across - near.across, one.up - near.up) > STANDS_OUT * scatter;
}

function backEnd({ tubeLengthMm }: ArraySpec, backs: BackDepartures | null, tube: number): BackEnd {
  if (!backs) return { across: 0, up: 0, sigma: 0 };
  return {
    across: backs.acrossMm[tube] / tubeLengthMm,
    up: backs.upMm[tube] / tubeLengthMm,
    sigma: backs.sigmaMm[tube] / tubeLengthMm,
  };
}

/** All as slopes: the tube's nominal direction, and off that its own direction and that of its neighbours' field. */
function errorFrom(
  due: Slopes,
  found: Slopes & { readonly sigma: number },
  { across: fieldAcross, up: fieldUp, uncertainty }: PointingField,
  tube: number,
): PointingError {
  const field = { across: fieldAcross[tube], up: fieldUp[tube] };
  const angle = (axis: keyof Slopes) => degrees(due[axis] + found[axis]) - degrees(due[axis] + field[axis]);
  const acrossDeg = angle('across');
  const upDeg = angle('up');
  return {
    acrossDeg,
    upDeg,
    totalDeg: Math.hypot(acrossDeg, upDeg),
    uncertaintyDeg: degrees(Math.hypot(found.sigma, uncertainty)),
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
