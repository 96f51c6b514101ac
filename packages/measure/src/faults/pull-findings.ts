import {
  type Evidence,
  type Finding,
  finding,
  type PullEntry,
  type Repair,
  type Resolving,
} from '@twolamp/session';
import { interpolate } from '@twolamp/numeric';
import type { LampPair } from './mean-dip.js';
import { gainOfFirst, type PullList, stepsOf } from './pull-list.js';

const MM_PER_M = 1000;
/** The slope of the dip curve is taken between this share of the distance before and after it. */
const SLOPE_SPAN = 0.04;

/** What replacing all tubes of the list would bring. */
export function pullFindings(list: PullList, pair: LampPair | null): Finding[] {
  const tubes = list.entries.length;
  if (tubes === 0) return [];
  const { gain, uncertainty } = gainOfFirst(list, tubes);
  const light = finding('pull-gain', 'pull', { tubes, gain, gainUncertainty: uncertainty });
  if (!list.dip || !pair) return [light];
  const { mean, together } = list.dip;
  const all = together.at(-1)!;
  const dip = finding('pull-dip', 'pull', {
    spacingMm: pair.spacingMm,
    distanceM: pair.distanceMm / MM_PER_M,
    meanDip: mean,
    dipGain: all.gain,
    dipGainUncertainty: all.uncertainty,
  });
  return [light, dip];
}

/**
 * What replacing the first 1, 5 and all tubes of the list would bring in light, in dip and in resolving distance.
 *
 * The distance: where the dip curve, raised by the gain in dip, crosses the criterion; to first order that gain over the
 * curve's slope. Null where the curve doesn't cross the criterion between the distances shot.
 */
export function repairs(
  list: PullList,
  resolving: Pick<Resolving, 'distanceM' | 'bound'> | null,
  curve: Evidence['dipCurve'],
): Repair[] {
  const fall = resolving?.bound === 'within' && curve !== null ? fallOf(curve, resolving.distanceM) : null;
  return stepsOf(list.entries.length).map((tubes, n) => {
    const light = gainOfFirst(list, tubes);
    const dip = list.dip?.together[n] ?? null;
    return {
      tubes,
      light: light.gain,
      lightUncertainty: light.uncertainty,
      dip: dip?.gain ?? null,
      dipUncertainty: dip?.uncertainty ?? null,
      fartherM: dip && fall ? dip.gain / fall : null,
      fartherUncertaintyM: dip && fall ? dip.uncertainty / fall : null,
    };
  });
}

/** By how much the dip falls per metre at a distance; null where it doesn't fall. */
function fallOf({ distanceM, dip }: NonNullable<Evidence['dipCurve']>, atM: number): number | null {
  const half = SLOPE_SPAN * atM;
  const fall =
    (interpolate(distanceM, dip, atM - half) - interpolate(distanceM, dip, atM + half)) / (2 * half);
  return fall > 0 ? fall : null;
}

/** The list as the result has it. */
export function pullEntries({ entries, uncertainty, dip }: PullList): PullEntry[] {
  return entries.map((entry, n) => ({
    ...entry,
    gainUncertainty: uncertainty[n],
    dipGain: dip?.gains[n]?.gain ?? null,
    dipGainUncertainty: dip?.gains[n]?.uncertainty ?? null,
  }));
}
