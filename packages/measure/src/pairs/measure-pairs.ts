import {
  absorbingAcceptance,
  type ArrayGeometry,
  angularPitch,
  type Random,
  resolvingDistance,
  tubeOf,
} from '@twolamp/optics';
import type { Evidence, LampShot, Note, PairResult, PairShot, Resolving } from '@twolamp/session';
import type { LitShot } from '../cell-light.js';
import { checkGeometry } from './geometry-check.js';
import { type LearnedResponse, learnResponse } from './learn-response.js';
import { type MeasuredPair, measurePair } from './measure-pair.js';
import { fitResolving, type ResolvingFit } from './resolving.js';
import { cellPlaces, type RelativeTransmission, viewShot } from './shot-view.js';

export interface PairsInput {
  readonly array: ArrayGeometry;
  readonly lamps: readonly LitShot<LampShot>[];
  readonly pairs: readonly LitShot<PairShot>[];
  readonly transmission: RelativeTransmission;
  readonly criterion: { readonly name: string; readonly requiredDip: number };
  readonly random: Random;
}

export interface PairsMeasured {
  /** One a pair shot, in the shots' order. */
  readonly pairs: readonly PairResult[];
  readonly resolving: Resolving | null;
  readonly dipCurve: Evidence['dipCurve'];
  readonly profiles: Evidence['profiles'];
  readonly notes: readonly Note[];
  /** What `pairs` rest on; null where no lamp was found in any shot. */
  readonly learned: LearnedResponse | null;
  readonly measured: readonly (MeasuredPair | null)[];
  readonly fit: ResolvingFit | null;
}

/** Fewer lamp shots than this show too little of the response; pairs are learned from as well. */
const ENOUGH_LAMPS = 3;
const MM_PER_M = 1000;
/** Least dip looked for where the criterion asks for any. */
const ANY_DIP = 1e-3;
const SEARCH_MM = { nearest: 50, farthest: 100_000 };
/** A dip this many standard uncertainties from the criterion is too near to call. */
const CLOSE_CALL_SIGMAS = 1;
const ODD_SIGMAS = 3;

/**
 * Separation and dip of every pair shot, and the resolving distance.
 *
 * @throws RangeError if the array can't be built
 */
export function measurePairs(input: PairsInput): PairsMeasured {
  const { array, criterion, random } = input;
  const places = cellPlaces(array);
  const viewed = <S extends LampShot | PairShot>(shots: readonly LitShot<S>[]) =>
    shots.map(({ shot, light }) => ({ shot, view: viewShot(places, light, input.transmission) }));
  const lamps = viewed(input.lamps);
  const pairs = viewed(input.pairs);
  const learned =
    pairs.length === 0
      ? null
      : learnResponse(array, lamps.length < ENOUGH_LAMPS ? [...lamps, ...pairs] : lamps);
  const measured = pairs.map(({ shot, view }) =>
    learned === null ? null : measurePair(array, shot, view, learned, criterion.requiredDip, random),
  );
  const found = measured.filter((one) => one !== null);
  const notes: Note[] = [];
  if (lamps.length < ENOUGH_LAMPS && pairs.length > 0) {
    notes.push({
      about: 'pairs',
      says: 'fewer than three lamp shots: how one lamp spreads was learned from the pairs themselves',
    });
  }
  const geometry = checkGeometry(
    array,
    found.map((one) => ({ ...one, ...one.shot })),
  );
  const wrong = new Map(geometry?.outliers.map((one) => [one.photo, one]));
  for (const { photo, statedMm, likelyMm } of wrong.values()) {
    const fits =
      likelyMm > 0
        ? `the lamps' images would fit ${(likelyMm / MM_PER_M).toFixed(2)} m`
        : 'the lamps lie elsewhere';
    notes.push({
      about: `pairs ${photo}`,
      says: `stated distance ${(statedMm / MM_PER_M).toFixed(2)} m, ${fits}: measure it again; left out of the resolving distance`,
    });
  }
  pairs.forEach(({ shot }, index) => {
    notes.push(...notesOnPair(shot, measured[index]!, criterion.requiredDip));
  });
  const fit =
    learned &&
    fitResolving(
      found
        .filter((one) => !wrong.has(one.shot.photo))
        .map((one) => ({
          distanceM: one.shot.distanceMm / MM_PER_M,
          spacingM: one.shot.spacingMm / MM_PER_M,
          dip: one.dip,
          dipUncertainty: one.dipUncertainty,
        })),
      learned.response,
      array.tubeLengthMm / MM_PER_M,
      criterion.requiredDip,
      random,
    );
  if (fit) notes.push(...notesOnFit(fit));
  if (fit && learned) notes.push(...notesOnSampling(array, learned, fit));
  return {
    pairs: pairs.map(({ shot }, index) => resultOf(shot, measured[index]!)),
    resolving: fit && resolvingOf(array, fit, criterion),
    dipCurve: fit && {
      distanceM: [...fit.curve.distanceM],
      dip: [...fit.curve.dip],
      lowDip: [...fit.curve.lowDip],
      highDip: [...fit.curve.highDip],
    },
    profiles: found.map(({ shot, profile }) => ({
      photo: shot.photo,
      offsetCells: [...profile.offsetCells],
      measured: [...profile.measured],
      model: [...profile.model],
    })),
    notes,
    learned,
    measured,
    fit,
  };
}

function resultOf(shot: PairShot, measured: MeasuredPair | null): PairResult {
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
  };
}

function resolvingOf(array: ArrayGeometry, fit: ResolvingFit, criterion: PairsInput['criterion']): Resolving {
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
    predictedDistanceM: predictedM(array, fit.spacingM, criterion.requiredDip),
    bound: fit.bound,
  };
}

/** Resolving distance of this array with absorbing walls, m; null where it lies outside of any room. */
function predictedM(array: ArrayGeometry, spacingM: number, required: number): number | null {
  const acceptance = absorbingAcceptance(tubeOf(array));
  const { bound, distanceMm } = resolvingDistance(
    array,
    () => acceptance,
    spacingM * MM_PER_M,
    Math.max(required, ANY_DIP),
    SEARCH_MM.nearest,
    SEARCH_MM.farthest,
  );
  return bound === 'within' ? distanceMm / MM_PER_M : null;
}

function notesOnPair(shot: PairShot, measured: MeasuredPair | null, required: number): Note[] {
  const about = `pairs ${shot.photo}`;
  if (measured === null) {
    return [{ about, says: 'too few cells show light of the lamps to tell one from two' }];
  }
  const notes: Note[] = [];
  if (Math.abs(measured.dip - required) < CLOSE_CALL_SIGMAS * measured.dipUncertainty) {
    notes.push({ about, says: 'the dip lies at the criterion within its uncertainty: too near to call' });
  }
  if (measured.twoAgainstOne < 0) {
    notes.push({ about, says: 'one lamp would explain this shot as well as two' });
  }
  return notes;
}

function notesOnFit(fit: ResolvingFit): Note[] {
  const notes: Note[] = [];
  const about = 'resolving';
  const span = `${fit.crossingM.toFixed(2)} m (${fit.lowM.toFixed(2)} to ${fit.highM.toFixed(2)} m)`;
  if (fit.bound === 'beyond') {
    notes.push({
      about,
      says: `separate at every distance shot; the fitted curve, continued, would cross the criterion at ${span}: shoot pairs beyond ${fit.distanceM.toFixed(2)} m`,
    });
  }
  if (fit.bound === 'nearer') {
    notes.push({
      about,
      says: `separate at no distance shot; the fitted curve, continued, would cross the criterion at ${span}: shoot pairs nearer than ${fit.distanceM.toFixed(2)} m`,
    });
  }
  if (fit.shareSeparate.length < 4) {
    notes.push({
      about,
      says: `pairs at ${fit.shareSeparate.length} distances only; 4 or more make it surer`,
    });
  }
  if (fit.excess > ODD_SIGMAS) {
    notes.push({
      about,
      says: `dips scatter ${fit.excess.toFixed(1)} times more about the curve than their uncertainties say`,
    });
  }
  return notes;
}

/** Arrays whose cells are wider apart than one lamp's light: a pair's fate depends on where it lies on the lattice. */
function notesOnSampling(array: ArrayGeometry, learned: LearnedResponse, fit: ResolvingFit): Note[] {
  const slopePerPitch = angularPitch(array, fit.distanceM * MM_PER_M);
  const spread = (2 * learned.response.halfWidthSlope) / slopePerPitch;
  if (spread >= 1) return [];
  const shares = fit.shareSeparate
    .map(({ distanceM, shots, separate }) => `${separate} of ${shots} at ${distanceM.toFixed(2)} m`)
    .join(', ');
  return [
    {
      about: 'resolving',
      says: `one lamp covers ${spread.toFixed(2)} cells: lamps can fall into blind gaps; pairs separate: ${shares}`,
    },
  ];
}
