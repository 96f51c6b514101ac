import { seededRandom } from '@twolamp/optics';
import {
  type CellResult,
  EVIDENCE_FORMAT,
  type EvenShot,
  type Evidence,
  type LinearPhoto,
  type Note,
  RESULT_FORMAT,
  type Result,
  type Session,
  type Shot,
} from '@twolamp/session';
import type { LitShot } from './cell-light.js';
import { measureCrosstalk } from './crosstalk/measure-crosstalk.js';
import { haloShare } from './flux/halo.js';
import { averageLights } from './light/repeats.js';
import { measurePairs } from './pairs/measure-pairs.js';
import { measurePointing } from './pointing/measure-pointing.js';
import { type Progress, type Survey, surveyShots } from './survey.js';
import { type AbsoluteTransmission, absoluteTransmission } from './transmission/absolute.js';
import { relativeTransmission } from './transmission/relative.js';

export interface MeasureOptions {
  readonly onProgress?: Progress;
}

/** The figures, and what the page draws beside them; its picture is null, since no file is touched here. */
export interface Measurement {
  readonly result: Result;
  readonly evidence: Evidence;
}

/** A cell counts as seen where its light stands this many standard uncertainties above nothing. */
const SEEN_SIGMAS = 5;

/** Bootstraps draw from this, so that the same photos give the same figures. */
const BOOTSTRAP_SEED = 1;

function ofKind<K extends Shot['kind']>(
  lit: readonly LitShot<Shot>[],
  kind: K,
): LitShot<Extract<Shot, { kind: K }>>[] {
  return lit.filter((one): one is LitShot<Extract<Shot, { kind: K }>> => one.shot.kind === kind);
}

function absoluteOf(
  survey: Survey,
  even: LitShot<EvenShot>,
  session: Session,
  notes: Note[],
): AbsoluteTransmission | null {
  if (survey.bare.length === 0) {
    if (!session.shots.some((shot) => shot.kind === 'bare'))
      notes.push({ about: 'transmission.absolute', says: 'no bare shot' });
    return null;
  }
  if (!survey.comparable) {
    notes.push({
      about: 'transmission.absolute',
      says: 'exposure times are not known for all photos, so their brightness cannot be compared',
    });
    return null;
  }
  const count = survey.bare.length;
  const mean = (values: readonly Float64Array[]): Float64Array =>
    values[0]!.map((_, k) => values.reduce((sum, one) => sum + one[k]! / count, 0));
  const bare = {
    level: mean(survey.bare.map((one) => one.level)),
    sigma: mean(survey.bare.map((one) => one.sigma)),
  };
  return absoluteTransmission(
    even.light,
    bare,
    survey.sheet.model.cells,
    session.array,
    haloShare(survey.sheet.model.halo),
  );
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/**
 * Measures a session: photos in, figures out.
 *
 * Photos are asked for one at a time and not kept. Pure but for `load`: no file, clock or random source is touched; what
 * needs chance (bootstraps) draws on a generator with a fixed seed, so that the same photos give the same figures.
 *
 * @param session - from readSession
 * @param load - gives a shot's photo as linear light
 * @throws InputError where the photos can't be measured, with the photo's name and what to mend
 */
export async function measureSession(
  session: Session,
  load: (shot: Shot) => Promise<LinearPhoto>,
  options: MeasureOptions = {},
): Promise<Measurement> {
  const { array } = session;
  const survey = await surveyShots(session, load, options.onProgress ?? (() => {}));
  const { lattice, sheet, factor, lit } = survey;
  const notes: Note[] = [...survey.notes];
  const evens = ofKind(lit, 'even');
  const even: LitShot<EvenShot> = {
    shot: evens[0]!.shot,
    light: averageLights(evens.map((one) => one.light)),
  };
  const transmission = relativeTransmission(even.light, array, lattice.u, lattice.v);
  const absolute = absoluteOf(survey, even, session, notes);

  const crosstalk = measureCrosstalk(array, ofKind(lit, 'single'));
  const crosstalkOf = new Map(crosstalk.tubes.map((tube) => [tube.cell, tube]));
  notes.push(...crosstalk.notes);

  const lamps = survey.comparable ? ofKind(lit, 'lamp') : [];
  const pointing = measurePointing(array, lamps, transmission.relative, transmission.sigma);
  notes.push(...pointing.notes);

  const pairs = measurePairs({
    array,
    lamps: ofKind(lit, 'lamp'),
    pairs: ofKind(lit, 'pair'),
    relative: transmission.relative,
    criterion: session.criterion,
    random: seededRandom(BOOTSTRAP_SEED),
  });
  notes.push(...pairs.notes);

  const placeOf = (k: number): { row: number; column: number } => ({
    row: Math.floor(k / array.columns) + 1,
    column: (k % array.columns) + 1,
  });
  const cells = Array.from({ length: array.rows * array.columns }, (_, k): CellResult => {
    const look = pointing.tubes[k]!;
    const stray = crosstalkOf.get(k);
    const seen = even.light.flux[k]! > SEEN_SIGMAS * even.light.sigma[k]!;
    return {
      ...placeOf(k),
      xPx: sheet.middles.x[k]! * factor + (factor - 1) / 2,
      yPx: sheet.middles.y[k]! * factor + (factor - 1) / 2,
      seen,
      transmission: {
        relative: finite(transmission.relative[k]!),
        relativeUncertainty: finite(transmission.sigma[k]!),
        absolute: absolute && finite(absolute.absolute[k]!),
        absoluteUncertainty: absolute && finite(absolute.sigma[k]!),
      },
      pointing: look && {
        acrossDeg: look.acrossDeg,
        upDeg: look.upDeg,
        uncertaintyDeg: look.uncertaintyDeg,
        errorDeg: look.error?.totalDeg ?? null,
        acceptanceWidthDeg: look.acceptanceWidthDeg,
      },
      bend: null,
      cureShiftMm: null,
      crosstalk: stray
        ? {
            total: stray.total,
            worst: stray.worst && { ...placeOf(stray.worst.cell), share: stray.worst.share },
          }
        : null,
      fault: 'none',
      because: '',
    };
  });

  const { tubeWall: _, ...stated } = array;
  return {
    result: {
      format: RESULT_FORMAT,
      array: stated,
      cells,
      pairs: [...pairs.pairs],
      resolving: pairs.resolving,
      crosstalk: crosstalk.summary,
      pull: [],
      notes,
      photos: [...survey.photos],
    },
    evidence: {
      format: EVIDENCE_FORMAT,
      picture: null,
      pitchPx: sheet.model.cells.pitchPx * factor,
      dipCurve: pairs.dipCurve,
      profiles: pairs.profiles,
      sweep: null,
    },
  };
}
