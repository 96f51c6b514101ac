import { tubeLayout } from '@twolamp/optics';
import type { ArraySpec, Fault, Note } from '@twolamp/session';
import { neighboursOf } from '../neighbours.js';
import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';
import type { SweepLeak } from '../pointing/sweep-leaks.js';
import type { PointingSurvey, TubePointing } from '../pointing/measure-pointing.js';
import * as because from './because.js';
import type { BowFit } from './bow-fit.js';
import type { Bows } from './bows.js';
import { suspectLeaks } from './leak-suspects.js';
import { lentByLeaks } from './lent-light.js';
import { type LightScores, scoreLight } from './light-scores.js';
import { scorePointing } from './pointing-scores.js';

/** What the shots say of the tubes; N in reading order. */
export interface FaultEvidence {
  readonly array: ArraySpec;
  /** Relative transmission, NaN = unknown, and its standard uncertainty. */
  readonly relative: Float64Array;
  readonly relativeSigma: Float64Array;
  readonly pointing: PointingSurvey;
  /** Null where the tube wasn't lit alone. */
  readonly leaks: readonly (TubeLeak | null)[];
  /** What the sweep alone says of leaks; empty without one. */
  readonly sweepLeaks: readonly SweepLeak[];
  readonly bows: Bows;
  /** By the number of a tube, the bow that explains what it sees; null where none can be fitted. */
  readonly bowFit: (n: number) => BowFit | null;
}

interface TubeFault {
  readonly fault: Fault;
  /** The evidence in one plain sentence; empty for a healthy tube. */
  readonly because: string;
  /** Of a bent tube. */
  readonly bend: { readonly bowMm: number; readonly uncertaintyMm: number } | null;
  /** Of a misaimed tube: how its front end has to move, seen from the back; null too where it isn't known. */
  readonly cureShiftMm: { readonly across: number; readonly up: number } | null;
}

export interface FaultSurvey {
  readonly tubes: readonly TubeFault[];
  /** What usual tubes give, and how much healthy ones scatter. */
  readonly light: LightScores;
  readonly notes: readonly Note[];
}

/** A tube is blocked below this share of the usual light, or where its light can't be told from none. */
const BLOCKED_SHARE = 0.05;
const UNTOLD_SIGMAS = 3;
const MOST_UNTOLD = 0.15;
/** Least loss that is a fault, and least surplus that is an empty hole. Common practice, no source. */
const LEAST_LOSS = 0.08;
const LEAST_SURPLUS = 0.25;
/** Least offset that is a fault, a share of the acceptance width. Common practice, no source. */
const LEAST_ASIDE = 0.05;
/** Wider, dimmer and another shape together speak for a bow from so many standard deviations on, or leave it open. */
const SPEAKS_FOR_BOW = 2.5;
const LEAVES_OPEN = 1;
const DIMNESS_COUNTS = 0.7;
/**
 * By so much less χ² than a straight tube's does a traced bow show. Judgement: on synthetic sweeps no straight tube came
 * near it.
 */
const BOW_FITS = 18.5;
/** A tube's own shape is known where its direction is, to this share of the acceptance width. */
const SHAPE_KNOWN = 0.1;
/** What χ² falls by chance alone with three parameters more. */
const SHAPE_BY_CHANCE = 3;
/** What direction or light says of the bow is good to this share: the wall's gloss is known to some only. */
const BOW_SHARE = 0.08;
/** Healthy tubes' light differs by this share, and so does what a bow takes of it. Common practice, no source. */
const LIGHT_SHARE = 0.05;
/** Neighbours, all with a known pointing, that make a tube without one suspect. */
const LEAST_AROUND = 3;
const PLENTY_OF_LIGHT = 0.3;

const HEALTHY: TubeFault = { fault: 'none', because: '', bend: null, cureShiftMm: null };

/**
 * Which tubes are at fault, with the reason, from light, direction, width and leaks.
 *
 * Directions off their neighbours' field with a shape that is wider, lopsided or dimmer speak for a bent tube; a
 * direction that is off alone speaks for a misaimed one; missing light alone is just that. Where a traced bent tube
 * answers the lamps clearly better than any straight one, that settles it. Light and direction are each tested over the
 * whole array at once, so that few false alarms are raised; a least size of the fault is asked as well.
 */
export function findFaults(evidence: FaultEvidence): FaultSurvey {
  const { array, relative, relativeSigma, pointing, leaks } = evidence;
  const light = scoreLight(relative, relativeSigma);
  const scores = scorePointing(pointing.tubes);
  const { suspects, leastShare } = suspectLeaks(array, relative, relativeSigma, light, evidence.sweepLeaks);
  const swept = pointing.common !== null;

  const lentLight = lentByLeaks(relative, leaks);

  const judge = (n: number): TubeFault => {
    const share = relative[n] / light.usual;
    const lent = lentLight[n] / light.usual;
    const untold = Math.min(MOST_UNTOLD, (UNTOLD_SIGMAS * relativeSigma[n]) / light.usual);
    const look = pointing.tubes[n];
    const leak = leaks[n];
    if (share - lent < Math.max(BLOCKED_SHARE, untold)) {
      return { ...HEALTHY, fault: 'blocked', because: because.blocked(share, lent > BLOCKED_SHARE) };
    }
    if (light.more[n] === 1 && share > 1 + LEAST_SURPLUS) {
      return { ...HEALTHY, fault: 'open', because: because.open(share) };
    }
    if (leak?.leaky && leak.worst) {
      return {
        ...HEALTHY,
        fault: 'leaky',
        because: because.leaky({ ...placeOf(array, leak.worst.cell), share: leak.worst.share }, leak.total),
      };
    }
    const lost = light.less[n] === 1 && share < 1 - LEAST_LOSS;
    const astray =
      look?.error != null &&
      scores.aside[n] === 1 &&
      look.error.totalDeg > LEAST_ASIDE * pointing.typicalWidthDeg!;
    const gap = pointing.gaps[n];
    const unseen = gap !== null && share > PLENTY_OF_LIGHT && pointedAround(evidence, n);
    const bow = astray || unseen || lost ? evidence.bowFit(n) : null;
    if (bow && bow.gain > BOW_FITS) return tracedBentTube(bow, share);
    if (astray) {
      const dimmer = Math.max(0, -light.deviation[n] || 0);
      const wider = Math.max(0, scores.wider[n]);
      const shape = Math.sqrt(Math.max(0, look.ownShapeGain - SHAPE_BY_CHANCE));
      // A misaimed tube may be a dim one as well.
      const bowed = Math.hypot(DIMNESS_COUNTS * dimmer, wider, shape);
      return bowed > SPEAKS_FOR_BOW
        ? bentTube(evidence, look, share)
        : misaimedTube(evidence, look, bowed > LEAVES_OPEN);
    }
    if (unseen && (gap === 'dark' || gap === 'beyond the sweep')) {
      return { ...HEALTHY, fault: lost ? 'bent' : 'misaimed', because: because.looksFarAside(gap, share) };
    }
    const suspect = leak === null ? suspects.get(n) : undefined;
    if (suspect) {
      return {
        ...HEALTHY,
        fault: 'weak',
        because: because.maybeLeaky(share, placeOf(array, n), {
          ...placeOf(array, suspect.to),
          share: suspect.share,
        }),
      };
    }
    const shapeKnown = look?.ownShape && look.uncertaintyDeg < SHAPE_KNOWN * pointing.typicalWidthDeg!;
    if (lost && shapeKnown) return dimlyBentTube(evidence, share);
    if (lost) return { ...HEALTHY, fault: 'weak', because: because.weak(share, swept, look !== null) };
    return HEALTHY;
  };

  const tubes = Array.from(relative, (_, n) => judge(n));
  const notes: Note[] = [];
  if (!swept && tubes.some((tube) => tube.fault === 'weak')) {
    notes.push({
      about: 'fault',
      says: 'without lamp shots from many places a bent or misaimed tube shows as weak at most, or not at all',
    });
  }
  if (leaks.every((leak) => leak === null)) notes.push(leakNote(leastShare));
  return { tubes, light, notes };
}

function placeOf(array: ArraySpec, n: number): { row: number; column: number } {
  const { row, column } = tubeLayout(array);
  return { row: row[n], column: column[n] };
}

/** @param leastShare - of a tube's light, from which on a leak can be suspected; null where nothing tells */
function leakNote(leastShare: number | null): Note {
  const found = 'no tube was lit alone, so that none can be shown to leak';
  const suspected =
    leastShare === null
      ? ''
      : `; a leak can be suspected from ${(100 * leastShare).toFixed(0)} % of a tube’s light on, where it lacks what a neighbour has too much`;
  return { about: 'fault', says: `${found}${suspected}` };
}

function tracedBentTube({ bowMm, uncertaintyMm, directionRad }: BowFit, share: number): TubeFault {
  return {
    ...HEALTHY,
    fault: 'bent',
    because: because.tracedBent(share, bowMm, directionRad),
    bend: { bowMm, uncertaintyMm: Math.hypot(uncertaintyMm, BOW_SHARE * bowMm) },
  };
}

function bentTube({ bows }: FaultEvidence, look: TubePointing, share: number): TubeFault {
  const { across, up } = look.error!;
  const slope = Math.hypot(across, up);
  const bowMm = bows.ofLook(slope);
  const sigma = Math.tan((look.uncertaintyDeg * Math.PI) / 180);
  return {
    fault: 'bent',
    because: because.bent(look, share, bowMm),
    bend: { bowMm, uncertaintyMm: bowMm * Math.hypot(sigma / slope, BOW_SHARE) },
    cureShiftMm: null,
  };
}

/** A bowed tube with walls that hardly mirror looks where it should, but not in the shape of the others. */
function dimlyBentTube({ bows }: FaultEvidence, share: number): TubeFault {
  const bowMm = bows.ofLoss(share);
  const byLight =
    (bows.ofLoss(share * (1 - LIGHT_SHARE)) ?? 0) - (bows.ofLoss(share * (1 + LIGHT_SHARE)) ?? 0);
  return {
    ...HEALTHY,
    fault: 'bent',
    because: because.dimlyBent(share, bowMm),
    bend: bowMm === null ? null : { bowMm, uncertaintyMm: Math.hypot(BOW_SHARE * bowMm, byLight / 2) },
  };
}

function misaimedTube({ array, bows }: FaultEvidence, look: TubePointing, maybeBent: boolean): TubeFault {
  const { across, up } = look.error!;
  const cureShiftMm = { across: -across * array.tubeLengthMm, up: -up * array.tubeLengthMm };
  const shiftMm = Math.hypot(cureShiftMm.across, cureShiftMm.up);
  return {
    fault: 'misaimed',
    because: because.misaimed(look, shiftMm, maybeBent ? bows.ofLook(Math.hypot(across, up)) : null),
    bend: null,
    cureShiftMm,
  };
}

/** Whether the cells around this one have a pointing, so that the sweep reaches where this one should look too. */
function pointedAround({ array, relative, pointing }: FaultEvidence, n: number): boolean {
  let around = 0;
  let pointed = 0;
  for (const { cell } of neighboursOf(array, n)) {
    if (!(relative[cell] > PLENTY_OF_LIGHT)) continue;
    around++;
    if (pointing.tubes[cell] !== null) pointed++;
  }
  return around >= LEAST_AROUND && pointed === around;
}
