import { type Finding, finding, type PullEntry } from '@twolamp/session';
import type { LampPair } from './mean-dip.js';
import { gainOfFirst, type PullList } from './pull-list.js';

const MM_PER_M = 1000;

/** What replacing all tubes of the list would bring. */
export function pullFindings(list: PullList, pair: LampPair | null): Finding[] {
  const tubes = list.entries.length;
  if (tubes === 0) return [];
  const { gain, uncertainty } = gainOfFirst(list, tubes);
  const light = finding('pull-gain', 'pull', { tubes, gain, gainUncertainty: uncertainty });
  if (!list.dip || !pair) return [light];
  const { mean, all } = list.dip;
  const dip = finding('pull-dip', 'pull', {
    spacingMm: pair.spacingMm,
    distanceM: pair.distanceMm / MM_PER_M,
    meanDip: mean,
    dipGain: all.gain,
    dipGainUncertainty: all.uncertainty,
  });
  return [light, dip];
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
