import type { Result } from '@twolamp/session';
import { countByFault } from './faults.js';
import { counted, listed } from './quantity.js';
import type { Answer } from './sentence.js';

/** Tubes of the pull list that the first screen names. */
export const FIRST_TO_PULL = 5;

interface Gain {
  readonly gain: number;
  /** Standard; null where a tube's own isn't known. */
  readonly uncertainty: number | null;
}

/**
 * Light that replacing the first tubes of the pull list returns to where it belongs, share of the whole array's: the sum
 * of the result's gains, whose uncertainties are taken as independent.
 */
export function gainOfFirst({ pull }: Result, first: number): Gain {
  const chosen = pull.slice(0, first);
  const uncertainties = chosen.map(({ gainUncertainty }) => gainUncertainty);
  const known = uncertainties.filter((one) => one !== null);
  return {
    gain: chosen.reduce((sum, { gain }) => sum + gain, 0),
    uncertainty: known.length === uncertainties.length ? Math.hypot(...known) : null,
  };
}

/** Which tubes need work. */
export function tubesAnswer(result: Result): Answer {
  const counts = countByFault(result.cells);
  const total = counts.reduce((sum, { count }) => sum + count, 0);
  const tubes = result.cells.length;
  const packed = result.array.arrangement === 'packed';
  if (total === 0) {
    return {
      headline: `None of the ${tubes} tubes needs work.`,
      details: ['No tube stands out from its neighbours.'],
    };
  }
  const kinds = listed(counts.map(({ fault, count }) => `${count} ${fault}`));
  const details =
    result.pull.length === 0
      ? ['None is worth pulling.']
      : [packed ? 'These first:' : 'These first, rows and columns counted from the back:'];
  if (result.cells.some((cell) => cell.pointing?.doubtful)) {
    details.unshift('Which tubes are bent or misaimed is doubtful, since the lamps’ stated places are.');
  }
  return {
    headline: `${total} of ${counted(tubes, 'tube')} need${total === 1 ? 's' : ''} work: ${kinds}.`,
    details,
  };
}
