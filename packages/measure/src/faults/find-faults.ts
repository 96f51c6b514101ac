import {
  type ArraySpec,
  cellPlace,
  type Fault,
  type Finding,
  finding,
  type Reason,
  reason,
} from '@twolamp/session';
import { neighboursOf } from '../neighbours.js';
import type { TubeLeak } from '../crosstalk/measure-crosstalk.js';
import { CLEAR_GAIN } from '../pointing/point-tube.js';
import type { SweepLeak } from '../pointing/sweep-leaks.js';
import type { PointingSurvey, TubePointing } from '../pointing/measure-pointing.js';
import type { BowFit } from './bow-fit.js';
import type { Bows } from './bows.js';
import { type LeakSuspect, suspectLeaks } from './leak-suspects.js';
import { leakedLight } from './leaked-light.js';
import { type LightScores, scoreLight } from './light-scores.js';
import { scorePointing } from './pointing-scores.js';
import {
  BENT_SCORE,
  BLOCKED_SHARE,
  BOW_UNCERTAINTY,
  DARK_SIGMAS,
  DIMNESS_WEIGHT,
  LEAST_AROUND,
  LEAST_ASIDE,
  LEAST_LOSS,
  LEAST_SURPLUS,
  LIGHT_SCATTER,
  MAYBE_BENT_SCORE,
  MOST_DARK_SHARE,
  PLENTY_OF_LIGHT,
  SHAPE_KNOWN,
} from './tuning.js';

/** Everything measured that bears on faults; N tubes in reading order. */
export interface FaultEvidence {
  readonly array: ArraySpec;
  /** Relative transmission, NaN = unknown, and its standard uncertainty. */
  readonly relative: Float64Array;
  readonly relativeSigma: Float64Array;
  readonly pointing: PointingSurvey;
  /** Null where the tube wasn't lit alone. */
  readonly leaks: readonly (TubeLeak | null)[];
  /** Leaks as the sweep alone shows them; empty without one. */
  readonly sweepLeaks: readonly SweepLeak[];
  readonly bows: Bows;
  /** Fits a bow to a tube's readings, by its number; null where none fits. */
  readonly bowFit: (n: number) => BowFit | null;
}

interface TubeFault {
  readonly fault: Fault;
  /** Null for a healthy tube. */
  readonly reason: Reason | null;
  /** Of a bent tube. */
  readonly bend: { readonly bowMm: number; readonly uncertaintyMm: number } | null;
  /** Of a misaimed tube: how its front end has to move, seen from the back; null too where it isn't known. */
  readonly cureShiftMm: {
    readonly across: number;
    readonly up: number;
    /** Standard, along one axis. */
    readonly uncertainty: number;
  } | null;
}

export interface FaultSurvey {
  readonly tubes: readonly TubeFault[];
  /** What typical tubes give, and how much healthy ones scatter. */
  readonly light: LightScores;
  readonly findings: readonly Finding[];
}

/** Expected drop of χ² by chance with three more parameters. */
const SHAPE_BY_CHANCE = 3;

const HEALTHY: TubeFault = { fault: 'none', reason: null, bend: null, cureShiftMm: null };

/**
 * Which tubes are faulty, with the reason, from light, direction, width and leaks.
 *
 * A direction off the neighbours' field together with a wider, skewed or dimmer acceptance means a bent tube; the
 * direction alone a misaimed one; missing light alone a weak one. If a traced bent tube fits the readings significantly
 * better than any straight one, the tube is bent in any case. Light and direction are each tested over the whole array
 * with a limited false-discovery rate, and a fault must also exceed a least size.
 */
export function findFaults(evidence: FaultEvidence): FaultSurvey {
  const { array, relative, relativeSigma, pointing, leaks } = evidence;
  const light = scoreLight(relative, relativeSigma);
  const scores = scorePointing(pointing.tubes);
  const { suspects, leastShare } = suspectLeaks(array, relative, relativeSigma, light, evidence.sweepLeaks);
  const swept = pointing.common !== null;
  const isScreen = array.kind === 'cell-screen';

  const leakedIn = leakedLight(relative, leaks);

  const judge = (n: number): TubeFault => {
    const share = relative[n] / light.typical;
    const lent = leakedIn[n] / light.typical;
    const untold = Math.min(MOST_DARK_SHARE, (DARK_SIGMAS * relativeSigma[n]) / light.typical);
    const look = pointing.tubes[n];
    const leak = leaks[n];
    if (share - lent < Math.max(BLOCKED_SHARE, untold)) {
      return {
        ...HEALTHY,
        fault: 'blocked',
        reason: reason('hardly-any-light', { share, lit: lent > BLOCKED_SHARE }),
      };
    }
    if (light.more[n] === 1 && share > 1 + LEAST_SURPLUS) {
      return { ...HEALTHY, fault: 'open', reason: reason('open', { share }) };
    }
    if (leak?.leaky && leak.worst) {
      return { ...HEALTHY, fault: 'leaky', reason: leaksInto(array, leak.worst, leak.total) };
    }
    const lost = light.less[n] === 1 && share < 1 - LEAST_LOSS;
    const astray =
      look?.error != null &&
      scores.aside[n] === 1 &&
      look.error.totalDeg > LEAST_ASIDE * pointing.typicalWidthDeg!;
    const gap = pointing.gaps[n];
    const unseen = gap !== null && share > PLENTY_OF_LIGHT && pointedAround(evidence, n);
    const bow = astray || unseen || lost ? evidence.bowFit(n) : null;
    if (bow && bow.gain > CLEAR_GAIN) return tracedBentTube(bow, share);
    if (astray) {
      const dimmer = Math.max(0, -light.deviation[n] || 0);
      const wider = Math.max(0, scores.wider[n]);
      const shape = Math.sqrt(Math.max(0, look.ownShapeGain - SHAPE_BY_CHANCE));
      // A misaimed tube may be a dim one as well.
      const bowed = Math.hypot(DIMNESS_WEIGHT * dimmer, wider, shape);
      return bowed > BENT_SCORE
        ? bentTube(evidence, look, share)
        : misaimedTube(evidence, look, bowed > MAYBE_BENT_SCORE);
    }
    if (unseen && (gap === 'dark' || gap === 'beyond the sweep')) {
      return { ...HEALTHY, fault: lost ? 'bent' : 'misaimed', reason: notLit(gap, share) };
    }
    const suspect = leak === null ? suspects.get(n) : undefined;
    if (suspect) {
      return { ...HEALTHY, fault: 'weak', reason: mayLeakInto(array, n, suspect, share) };
    }
    const directionKnown =
      look?.error != null && look.uncertaintyDeg < SHAPE_KNOWN * pointing.typicalWidthDeg!;
    if (lost && directionKnown && look.ownShape) return dimlyBentTube(evidence, share);
    if (lost && isScreen) {
      return { ...HEALTHY, fault: 'weak', reason: reason('dim', { share, pointing: 'does not apply' }) };
    }
    if (lost) return { ...HEALTHY, fault: 'weak', reason: dim(share, swept, directionKnown) };
    return HEALTHY;
  };

  const tubes = Array.from(relative, (_, n) => judge(n));
  const findings: Finding[] = [];
  if (!swept && !isScreen && tubes.some((tube) => tube.fault === 'weak')) {
    findings.push(finding('bends-not-seen', 'faults', {}));
  }
  if (leaks.every((leak) => leak === null)) {
    findings.push(finding('leaks-not-tested', 'faults', { suspectedFrom: leastShare }));
  }
  return { tubes, light, findings };
}

const known = (share: number): number | null => (Number.isNaN(share) ? null : share);

function leaksInto(array: ArraySpec, { cell, share }: NonNullable<TubeLeak['worst']>, total: number) {
  return reason('leaks-into', { to: cellPlace(array, cell), toShare: share, total });
}

function mayLeakInto(array: ArraySpec, n: number, suspect: LeakSuspect, share: number): Reason {
  const to = cellPlace(array, suspect.to);
  return reason('may-leak-into', { share, tube: cellPlace(array, n), to, toExcess: suspect.share });
}

function dim(share: number, swept: boolean, pointed: boolean): Reason {
  const pointing = !swept ? 'not measured' : pointed ? 'where it should' : 'not known';
  return reason('dim', { share, pointing });
}

function notLit(gap: 'dark' | 'beyond the sweep', share: number): Reason {
  return reason('not-lit-by-sweep', { share, gap: gap === 'dark' ? 'dark' : 'past the rim' });
}

function asideOf({ error }: TubePointing) {
  const { acrossDeg, upDeg, totalDeg } = error!;
  return { acrossDeg, upDeg, totalDeg };
}

function tracedBentTube({ bowMm, uncertaintyMm, directionRad }: BowFit, share: number): TubeFault {
  return {
    ...HEALTHY,
    fault: 'bent',
    reason: reason('responds-as-bowed', {
      share: known(share),
      bowMm,
      directionDeg: directionRad === null ? null : (directionRad * 180) / Math.PI,
    }),
    bend: { bowMm, uncertaintyMm: Math.hypot(uncertaintyMm, BOW_UNCERTAINTY * bowMm) },
  };
}

function bentTube({ bows }: FaultEvidence, look: TubePointing, share: number): TubeFault {
  const { across, up } = look.error!;
  const slope = Math.hypot(across, up);
  const bowMm = bows.ofLook(slope);
  const sigma = Math.tan((look.uncertaintyDeg * Math.PI) / 180);
  return {
    fault: 'bent',
    reason: reason('aside-and-changed', {
      ...asideOf(look),
      share: known(share),
      bowMm,
      widthRatio: Math.exp(look.widening.value),
      ownShape: look.ownShape,
    }),
    bend: { bowMm, uncertaintyMm: bowMm * Math.hypot(sigma / slope, BOW_UNCERTAINTY) },
    cureShiftMm: null,
  };
}

/** A bowed tube with hardly reflecting walls keeps its direction, but its acceptance has another shape. */
function dimlyBentTube({ bows }: FaultEvidence, share: number): TubeFault {
  const bowMm = bows.ofLoss(share);
  const byLight =
    (bows.ofLoss(share * (1 - LIGHT_SCATTER)) ?? 0) - (bows.ofLoss(share * (1 + LIGHT_SCATTER)) ?? 0);
  return {
    ...HEALTHY,
    fault: 'bent',
    reason: reason('shape-changed', { share, bowMm }),
    bend: bowMm === null ? null : { bowMm, uncertaintyMm: Math.hypot(BOW_UNCERTAINTY * bowMm, byLight / 2) },
  };
}

function misaimedTube({ array, bows }: FaultEvidence, look: TubePointing, maybeBent: boolean): TubeFault {
  const { across, up } = look.error!;
  const uncertainty = array.tubeLengthMm * Math.tan((look.error!.uncertaintyDeg * Math.PI) / 180);
  const cureShiftMm = { across: -across * array.tubeLengthMm, up: -up * array.tubeLengthMm, uncertainty };
  const shiftMm = Math.hypot(cureShiftMm.across, cureShiftMm.up);
  return {
    fault: 'misaimed',
    reason: reason('looks-aside', {
      ...asideOf(look),
      shiftMm,
      bowMm: maybeBent ? bows.ofLook(Math.hypot(across, up)) : null,
    }),
    bend: null,
    cureShiftMm,
  };
}

/** Whether all cells around this one have a pointing, so that the sweep covers its nominal direction too. */
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
