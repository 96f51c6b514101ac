import type { PullEntry } from '@twolamp/session';
import { dueLight } from './due-light.js';
import type { FaultEvidence, FaultSurvey } from './find-faults.js';

export interface PullList {
  /** Best gain first. */
  readonly entries: readonly PullEntry[];
  /** Standard uncertainty of each entry's gain, in the same order. */
  readonly uncertainty: readonly number[];
}

/**
 * The tubes worth replacing, best gain first.
 *
 * The gain is the light that the array gains where it belongs when the tube becomes a typical one, as a share of the
 * light of an array of typical tubes: (1 − due) ÷ N, due being what the tube brings now from where it should look,
 * a typical tube = 1. For a tube that looks aside that is what its acceptance shares with a typical one in its place;
 * for an open hole the share of its light that a typical tube would have passed; for a leaky tube what doesn't leak.
 *
 * The uncertainty holds the tube's own measurement and the scatter of the healthy tubes, which the new one will share.
 */
export function pullList(evidence: FaultEvidence, faults: FaultSurvey): PullList {
  const { array, relativeSigma } = evidence;
  const count = evidence.relative.length;
  const { usual, scatter } = faults.light;
  const found = faults.tubes.flatMap((tube, n) => {
    if (tube.fault === 'none') return [];
    const entry: PullEntry = {
      row: 1 + Math.floor(n / array.columns),
      column: 1 + (n % array.columns),
      fault: tube.fault,
      gain: (1 - dueOf(evidence, faults, n)) / count,
    };
    return [{ entry, uncertainty: Math.hypot(scatter, relativeSigma[n]!) / usual / count }];
  });
  found.sort((a, b) => b.entry.gain - a.entry.gain);
  return {
    entries: found.map((one) => one.entry),
    uncertainty: found.map((one) => one.uncertainty),
  };
}

/** What the first tubes of the list bring together, with its standard uncertainty. */
export function gainOfFirst(list: PullList, first: number): { gain: number; uncertainty: number } {
  return {
    gain: list.entries.slice(0, first).reduce((sum, entry) => sum + entry.gain, 0),
    uncertainty: Math.hypot(0, ...list.uncertainty.slice(0, first)),
  };
}

/** Light that the tube brings from where it should look; a typical tube = 1. */
function dueOf({ relative, pointing, leaks }: FaultEvidence, faults: FaultSurvey, n: number): number {
  const share = relative[n]! / faults.light.usual;
  const look = pointing.tubes[n]!;
  switch (faults.tubes[n]!.fault) {
    case 'open':
      return 1 / share;
    case 'leaky':
      return Math.min(1, share) * (1 - leaks[n]!.total);
    case 'bent':
    case 'misaimed': {
      if (look === null || look.error === null) return 0;
      return dueLight(pointing.common!.acceptance, look, Number.isNaN(share) ? 1 : share);
    }
    default:
      return Math.min(1, Math.max(0, share));
  }
}
