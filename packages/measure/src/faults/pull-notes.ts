import type { Evidence, Note } from '@twolamp/session';
import type { LampPair } from './mean-dip.js';
import { gainOfFirst, type PullList } from './pull-list.js';

const MM_PER_M = 1000;

/** What replacing all tubes of the list would bring. */
export function pullNotes(list: PullList, pair: LampPair | null): Note[] {
  const tubes = list.entries.length;
  if (tubes === 0) return [];
  const about = 'pull';
  const { gain, uncertainty } = gainOfFirst(list, tubes);
  const percent = (share: number) => (100 * share).toFixed(2);
  const which = tubes === 1 ? 'the tube on the list' : `all ${tubes} tubes on the list`;
  const notes = [
    {
      about,
      says: `replacing ${which} would bring ${percent(gain)} ± ${percent(uncertainty)} % of the array’s light to where it is due`,
    },
  ];
  if (list.dip && pair) {
    const { mean, all } = list.dip;
    notes.push({
      about,
      says:
        `and change the mean dip that the array paints of two lamps ${pair.spacingMm.toFixed(0)} mm apart at ` +
        `${(pair.distanceMm / MM_PER_M).toFixed(2)} m from ${mean.toFixed(3)} by ${signed(all.gain)} ± ${all.uncertainty.toFixed(4)}`,
    });
  }
  return notes;
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(4)}`;
}

/** What stands beside each tube of the list, in its order. */
export function pullEvidence({ uncertainty, dip }: PullList): Evidence['pull'] {
  return uncertainty.map((gainUncertainty, n) => ({
    gainUncertainty,
    dipGain: dip?.gains[n]?.gain ?? null,
    dipGainUncertainty: dip?.gains[n]?.uncertainty ?? null,
  }));
}
