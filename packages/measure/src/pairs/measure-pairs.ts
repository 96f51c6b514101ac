import { type ArrayGeometry, absorbingWidthRad, isUndersampled, type Random, tubeOf } from '@twolamp/optics';
import type { ArraySpec, Evidence, LampShot, Note, PairResult, PairShot, Resolving } from '@twolamp/session';
import type { LitShot } from '@twolamp/cells';
import { type ArrayResponse, learnArrayResponse } from '../response/array-response.js';
import { viewLamps } from '../response/lamp-view.js';
import { halfWidthOf } from '../response/radial-spline.js';
import { checkGeometry } from './geometry-check.js';
import { type MeasuredPair, measurePair } from './measure-pair.js';
import { fitResolving, type ResolvingFit } from './resolving.js';
import { ENOUGH_LAMPS, OPEN_WIDTH, SWEEP_LAMPS } from './tuning.js';

export interface PairsInput {
  readonly array: ArraySpec;
  readonly lamps: readonly LitShot<LampShot>[];
  readonly pairs: readonly LitShot<PairShot>[];
  /** Relative transmission of each cell, NaN where unknown. */
  readonly relative: Float64Array;
  readonly criterion: { readonly name: string; readonly requiredDip: number };
  readonly random: Random;
}

/** What was measured of the resolving distance; theory's word isn't in it. */
export type MeasuredResolving = Omit<Resolving, 'predictedDistanceM'>;

export interface PairsMeasured {
  /** One a pair shot, in the shots' order. */
  readonly pairs: readonly PairResult[];
  readonly resolving: MeasuredResolving | null;
  readonly dipCurve: Evidence['dipCurve'];
  readonly profiles: Evidence['profiles'];
  readonly notes: readonly Note[];
  /** The response that `pairs` rest on; null without pairs, or where no lamp was found. */
  readonly response: ArrayResponse | null;
}

/** From so many on they are a sweep: every tube is seen by several. */
const ENOUGH_DISTANCES = 4;
/** How far the learned width may be off where one lamp covers about a cell. Common practice, no source. */
const MM_PER_M = 1000;

/**
 * Separation and dip of every pair shot, and the resolving distance.
 *
 * @throws RangeError if the array can't be built
 */
export function measurePairs(input: PairsInput): PairsMeasured {
  const { array, criterion, random } = input;
  const notes: Note[] = [];
  if (input.pairs.length === 0) {
    notes.push({
      about: 'resolving',
      says: 'no pair shots: how far two lamps stay separate needs them at 4 distances or more',
    });
    return { pairs: [], resolving: null, dipCurve: null, profiles: [], notes, response: null };
  }
  const views = [...input.lamps, ...input.pairs].map((one) => viewLamps(array, one, input.relative));
  const response = learnArrayResponse(array, views);
  const first = input.lamps.length;
  const measured = input.pairs.map(
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
  const found = measured.filter((one) => one !== null);
  if (first < ENOUGH_LAMPS) {
    notes.push({
      about: 'pairs',
      says: 'fewer than three lamp shots: how one lamp spreads was learned from the pairs themselves',
    });
  }
  if (response?.stopped === 'round-limit') {
    notes.push({
      about: 'pairs',
      says: 'how one lamp spreads had not settled when the search for it ended: take dips and the resolving distance with care',
    });
  }
  const wrong = wrongDistances(array, found, notes);
  input.pairs.forEach(({ shot }, n) => {
    notes.push(...notesOnPair(shot, measured[n], criterion.requiredDip));
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
      first < SWEEP_LAMPS ? 'fewLamps' : 'sweep',
      random,
    );
  if (!fit) {
    notes.push({
      about: 'resolving',
      says: 'no resolving distance: no pair could be read, or lamps as these never meet the criterion',
    });
  }
  return {
    pairs: input.pairs.map(({ shot }, n) => resultOf(shot, measured[n])),
    resolving: fit && resolvingOf(fit, criterion),
    dipCurve: fit?.curve ?? null,
    profiles: found.map(({ shot, profile }) => ({
      photo: shot.photo,
      offsetCells: [...profile.offsetCells],
      measured: [...profile.measured],
      model: [...profile.model],
    })),
    notes: [...notes, ...(fit && response ? notesOnFit(array, response, fit, found) : [])],
    response,
  };
}

/** Shots whose images lie off the straight line that geometry asks for: wrong readings of the tape measure. */
function wrongDistances(array: ArrayGeometry, found: readonly MeasuredPair[], notes: Note[]): Set<string> {
  const check = checkGeometry(
    array,
    found.map((one) => ({ ...one, ...one.shot })),
  );
  for (const { photo, statedMm, likelyMm } of check?.outliers ?? []) {
    const fits =
      likelyMm > 0
        ? `the lamps' images would fit ${(likelyMm / MM_PER_M).toFixed(2)} m`
        : 'the lamps lie elsewhere';
    notes.push({
      about: `pairs ${photo}`,
      says: `stated distance ${(statedMm / MM_PER_M).toFixed(2)} m, ${fits}: measure it again; left out of the resolving distance`,
    });
  }
  return new Set(check?.outliers.map((one) => one.photo));
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
    bound: fit.bound,
  };
}

function notesOnPair(shot: PairShot, measured: MeasuredPair | null, required: number): Note[] {
  const about = `pairs ${shot.photo}`;
  if (measured === null)
    return [{ about, says: 'too few cells show light of the lamps to tell one from two' }];
  const notes: Note[] = [];
  if (Math.abs(measured.dip - required) < measured.dipUncertainty) {
    notes.push({ about, says: 'the dip lies at the criterion within its uncertainty: too near to call' });
  }
  if (measured.twoAgainstOne < 0)
    notes.push({ about, says: 'one lamp would explain this shot as well as two' });
  return notes;
}

function notesOnFit(
  array: ArraySpec,
  response: ArrayResponse,
  fit: ResolvingFit,
  found: readonly MeasuredPair[],
): Note[] {
  const about = 'resolving';
  const notes: Note[] = [];
  const [across, up] = response.alignment.aim.map((slope) => (Math.atan(slope) * 180) / Math.PI);
  if (across !== 0 || up !== 0) {
    notes.push({
      about,
      says: `the lamps stand ${across.toFixed(1)}° across and ${up.toFixed(1)}° up from where their stated places put them, in all shots: allowed for`,
    });
  }
  const span = `${fit.crossingM.toFixed(2)} m (${fit.lowM.toFixed(2)} to ${fit.highM.toFixed(2)} m)`;
  const continued = `the fitted curve, continued, would cross the criterion at ${span}: shoot pairs`;
  if (fit.bound === 'beyond') {
    notes.push({
      about,
      says: `separate at every distance shot; ${continued} beyond ${fit.distanceM.toFixed(2)} m`,
    });
  }
  if (fit.bound === 'nearer') {
    notes.push({
      about,
      says: `separate at no distance shot; ${continued} nearer than ${fit.distanceM.toFixed(2)} m`,
    });
  }
  const distances = new Set(found.map(({ shot }) => shot.distanceMm)).size;
  if (distances < ENOUGH_DISTANCES) {
    notes.push({
      about,
      says: `pairs at ${distances} distance${distances === 1 ? '' : 's'} only; 4 or more make it surer`,
    });
  }
  const undersampled = (widthRad: number) => isUndersampled(array, widthRad, fit.distanceM * MM_PER_M);
  const width = 2 * halfWidthOf(response.mean);
  // So few cells show little of the width: black walls, which see least, speak where it stays open.
  const isOpen = undersampled(width / OPEN_WIDTH) && undersampled(absorbingWidthRad(tubeOf(array)));
  if (undersampled(width) || isOpen) {
    const separate = found.filter((one) => one.separate).length;
    notes.push({
      about,
      says: `one lamp covers hardly a cell: lamps can fall into blind gaps, and a pair's fate depends on where it lies; ${separate} of ${found.length} pair shots separate`,
    });
  }
  return notes;
}
