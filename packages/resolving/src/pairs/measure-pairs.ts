import { type ArrayGeometry, absorbingWidthRad, isUndersampled, type Random, tubeOf } from '@twolamp/optics';
import { NORMAL_95 } from '@twolamp/numeric';
import {
  type ArraySpec,
  type Evidence,
  type Finding,
  finding,
  type LampShot,
  type PairResult,
  type PairShot,
  type Resolving,
} from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import { type ArrayResponse, learnArrayResponse } from '../response/array-response.js';
import { discRadiusMm, viewLamps } from '../response/lamp-view.js';
import { halfWidthOf } from '../response/radial-spline.js';
import { shotsOffLine } from './geometry-check.js';
import { type MeasuredPair, measurePair } from './measure-pair.js';
import { type PlainDip, plainCrossing, plainDips } from './plain-dip.js';
import { angleDeg, fitResolving, type ResolvingFit } from './resolving.js';
import { ENOUGH_LAMPS, OPEN_WIDTH, PLAIN } from './tuning.js';

export interface PairsInput {
  readonly array: ArraySpec;
  readonly lamps: readonly LitShot<LampShot>[];
  readonly pairs: readonly LitShot<PairShot>[];
  /** Relative transmission of each cell, NaN where unknown. */
  readonly relative: Float64Array;
  readonly lampDiameterMm: number;
  readonly criterion: { readonly name: string; readonly requiredDip: number };
}

/** What was measured of the resolving distance; theory's word isn't in it. */
export type MeasuredResolving = Omit<Resolving, 'predictedDistanceM' | 'predictedDistanceUncertaintyM'>;

export interface PairsMeasured {
  /** One a pair shot, in the shots' order. */
  readonly pairs: readonly PairResult[];
  readonly resolving: MeasuredResolving | null;
  readonly dipCurve: Evidence['dipCurve'];
  /** Read without the model, one a distance. */
  readonly plainDips: readonly PlainDip[];
  readonly profiles: Evidence['profiles'];
  readonly findings: readonly Finding[];
}

/** Distances of pairs from which on a curve can be drawn. Common practice, no source. */
const ENOUGH_DISTANCES = 4;
const MM_PER_M = 1000;
const SAME_SPACING_M = 1e-6;

/**
 * Separation and dip of every pair shot, and the resolving distance.
 *
 * @param random - for the bootstrap
 * @throws RangeError if the array can't be built
 */
export function measurePairs(input: PairsInput, random: Random): PairsMeasured {
  const { array, criterion } = input;
  const findings: Finding[] = [];
  if (input.pairs.length === 0) {
    findings.push(finding('no-pairs', 'resolving', { distancesWanted: ENOUGH_DISTANCES }));
    return { pairs: [], resolving: null, dipCurve: null, plainDips: [], profiles: [], findings };
  }
  const views = [...input.lamps, ...input.pairs].map((one) =>
    viewLamps(array, one, input.relative, input.lampDiameterMm),
  );
  const response = learnArrayResponse(array, views);
  const first = input.lamps.length;
  const read = input.pairs.map(
    ({ shot }, n) =>
      response &&
      measurePair(
        array,
        response.views[first + n],
        shot,
        response,
        response.fits[first + n],
        criterion.requiredDip,
      ),
  );
  if (first < ENOUGH_LAMPS) {
    findings.push(finding('response-from-pairs', 'pairs', { lampsWanted: ENOUGH_LAMPS }));
  }
  if (response?.stopped === 'round-limit') {
    findings.push(finding('response-not-converged', 'pairs', {}));
  }
  const wrong = wrongDistances(
    array,
    read.filter((one) => one !== null),
  );
  findings.push(...wrong.values());
  const placed = read.flatMap((pair, n) =>
    pair && !wrong.has(pair.shot.photo) ? [{ pair, view: first + n }] : [],
  );
  const plain = response ? plainDips(array, response, placed, random) : [];
  const measured = read.map((pair) => pair && withMisfit(pair, plain));
  const found = measured.filter((one) => one !== null);
  input.pairs.forEach(({ shot }, n) => {
    findings.push(...findingsOnPair(shot, measured[n], criterion.requiredDip));
  });
  const dips = found
    .filter(({ shot }) => !wrong.has(shot.photo))
    .map(({ shot, dip, dipUncertainty }) => ({
      distanceM: shot.distanceMm / MM_PER_M,
      spacingM: shot.spacingMm / MM_PER_M,
      dip,
      dipUncertainty,
    }));
  const fit =
    response &&
    fitResolving(
      dips,
      response,
      criterion.requiredDip,
      array.tubeLengthMm / MM_PER_M,
      discRadiusMm(array, input.lampDiameterMm) / MM_PER_M,
      random,
    );
  if (!fit) {
    findings.push(finding('no-crossing', 'resolving', {}));
  }
  findings.push(...besidePlain(plain, fit, criterion.requiredDip, random));
  return {
    pairs: input.pairs.map(({ shot }, n) =>
      resultOf(shot, fit ? besideHeadline(measured[n], fit) : measured[n], wrong.has(shot.photo)),
    ),
    plainDips: plain,
    resolving: fit && resolvingOf(fit, criterion),
    dipCurve: fit?.curve ?? null,
    profiles: found.map(({ shot, profile }) => ({
      photo: shot.photo,
      offsetCells: [...profile.offsetCells],
      measured: [...profile.measured],
      model: [...profile.model],
    })),
    findings: [...findings, ...(fit && response ? findingsOnFit(array, response, fit, found) : [])],
  };
}

/**
 * Shots whose images lie off the straight line that geometry asks for, by photo: wrong readings of the tape measure.
 */
function wrongDistances(array: ArrayGeometry, found: readonly MeasuredPair[]): Map<string, Finding> {
  const separations = found.flatMap(({ shot, separationCells, separationUncertainty }) =>
    separationCells === null || separationUncertainty === null
      ? []
      : [{ ...shot, separationCells, separationUncertainty }],
  );
  const byPhoto = new Map(separations.map((one) => [one.photo, one]));
  return new Map(
    shotsOffLine(array, separations).map(({ photo, statedMm, likelyMm }) => {
      const { separationCells, separationUncertainty } = byPhoto.get(photo)!;
      const values = {
        statedM: statedMm / MM_PER_M,
        seenCells: separationCells,
        seenUncertaintyCells: separationUncertainty,
        fittingM: likelyMm > 0 ? likelyMm / MM_PER_M : null,
      };
      return [photo, finding('doubt-pair-distance', photo, values)];
    }),
  );
}

/** What the plain reading of its distance departs from the model by, beyond its own uncertainty, counts as the model's error. */
function withMisfit(pair: MeasuredPair, plain: readonly PlainDip[]): MeasuredPair {
  const beside = plain.find(({ photos }) => photos.includes(pair.shot.photo));
  if (!beside) return pair;
  const misfit2 = (beside.dip - beside.modelDip) ** 2 - beside.uncertainty ** 2;
  return { ...pair, dipUncertainty: Math.hypot(pair.dipUncertainty, Math.sqrt(Math.max(0, misfit2))) };
}

/** A pair whose own verdict contradicts the interval of the resolving distance is undecided. */
function besideHeadline(pair: MeasuredPair | null, fit: ResolvingFit): JudgedPair | null {
  if (!pair || Math.abs(pair.shot.spacingMm / MM_PER_M - fit.spacingM) > SAME_SPACING_M) return pair;
  const distanceM = pair.shot.distanceMm / MM_PER_M;
  const { bound, lowM, highM } = fit;
  const isNear = bound === 'beyond' || (bound === 'within' && distanceM < lowM);
  const isFar = bound === 'nearer' || (bound === 'within' && distanceM > highM);
  return (isNear && !pair.separate) || (isFar && pair.separate) ? { ...pair, separate: null } : pair;
}

/** Where dips read without the model, or a plain curve through them, disagree with the model's. */
function besidePlain(
  plain: readonly PlainDip[],
  fit: ResolvingFit | null,
  requiredDip: number,
  random: Random,
): Finding[] {
  const found: Finding[] = [];
  for (const { photos, distanceM, dip, uncertainty, modelDip } of plain) {
    if (Math.abs(dip - modelDip) < PLAIN.disagreeSigmas * uncertainty) continue;
    const values = { photos: [...photos], distanceM, modelDip, plainDip: dip, uncertainty };
    found.push(finding('dip-readings-differ', 'pairs', values));
  }
  if (fit?.bound !== 'within') return found;
  const own = plain.filter(({ spacingM }) => Math.abs(spacingM - fit.spacingM) < SAME_SPACING_M);
  const crossing = plainCrossing(own, requiredDip, random);
  if (!crossing) return found;
  const uncertaintyM = Math.hypot(crossing.uncertaintyM, (fit.highM - fit.lowM) / (2 * NORMAL_95));
  if (Math.abs(crossing.distanceM - fit.distanceM) > PLAIN.disagreeSigmas * uncertaintyM) {
    const values = { modelM: fit.distanceM, plainM: crossing.distanceM, uncertaintyM };
    found.push(finding('resolving-readings-differ', 'resolving', values));
  }
  return found;
}

type JudgedPair = Omit<MeasuredPair, 'separate'> & { readonly separate: boolean | null };

function resultOf(shot: PairShot, measured: JudgedPair | null, doubtful: boolean): PairResult {
  return {
    photo: shot.photo,
    distanceM: shot.distanceMm / MM_PER_M,
    spacingM: shot.spacingMm / MM_PER_M,
    turnedDeg: shot.turnedDeg,
    separationCells: measured?.separationCells ?? null,
    separationUncertainty: measured?.separationUncertainty ?? null,
    dip: measured?.dip ?? null,
    dipUncertainty: measured?.dipUncertainty ?? null,
    separate: measured?.separate ?? null,
    ...(doubtful ? { doubtful: true } : {}),
  };
}

function resolvingOf(fit: ResolvingFit, criterion: PairsInput['criterion']): MeasuredResolving {
  const within = fit.bound === 'within';
  return {
    criterion: criterion.name,
    requiredDip: criterion.requiredDip,
    spacingM: fit.spacingM,
    distanceM: fit.distanceM,
    lowM: within ? fit.lowM : null,
    highM: within ? fit.highM : null,
    confidence: 0.95,
    angleDeg: fit.angleDeg,
    angleLowDeg: within ? angleDeg(fit.spacingM, fit.highM) : null,
    angleHighDeg: within ? angleDeg(fit.spacingM, fit.lowM) : null,
    bound: fit.bound,
  };
}

function findingsOnPair(shot: PairShot, measured: MeasuredPair | null, requiredDip: number): Finding[] {
  const { photo } = shot;
  if (measured === null) return [finding('pair-unreadable', photo, {})];
  const { dip, dipUncertainty, twoLampEvidence } = measured;
  const findings: Finding[] = [];
  if (Math.abs(dip - requiredDip) < dipUncertainty) {
    findings.push(finding('pair-at-criterion', photo, { dip, dipUncertainty, requiredDip }));
  }
  if (twoLampEvidence < 0) findings.push(finding('pair-like-one-lamp', photo, {}));
  return findings;
}

function findingsOnFit(
  array: ArraySpec,
  response: ArrayResponse,
  fit: ResolvingFit,
  found: readonly MeasuredPair[],
): Finding[] {
  const about = 'resolving';
  const findings: Finding[] = [];
  // Images that lie as if the array looked to the left are those of lamps that stand to the right.
  const [acrossDeg, upDeg] = response.alignment.aim.map((slope) => (Math.atan(-slope) * 180) / Math.PI);
  if (acrossDeg !== 0 || upDeg !== 0) {
    findings.push(finding('lamps-off-stated-places', about, { acrossDeg, upDeg }));
  }
  const { distanceM: shotM, crossingM, lowM, highM } = fit;
  const crossing = { shotM, crossingM, lowM, highM };
  if (fit.bound === 'beyond') findings.push(finding('separate-at-all-distances', about, crossing));
  if (fit.bound === 'nearer') findings.push(finding('separate-at-no-distance', about, crossing));
  const distances = new Set(found.map(({ shot }) => shot.distanceMm)).size;
  if (distances < ENOUGH_DISTANCES) {
    findings.push(finding('few-distances', about, { distances, wanted: ENOUGH_DISTANCES }));
  }
  const undersampled = (widthRad: number) => isUndersampled(array, widthRad, fit.distanceM * MM_PER_M);
  const width = 2 * halfWidthOf(response.mean);
  // So few cells show little of the width: black walls, which see least, speak where it stays open.
  const isOpen = undersampled(width / OPEN_WIDTH) && undersampled(absorbingWidthRad(tubeOf(array)));
  if (undersampled(width) || isOpen) {
    const separate = found.filter((one) => one.separate).length;
    findings.push(finding('cells-undersample', about, { separate, pairs: found.length }));
  }
  return findings;
}
