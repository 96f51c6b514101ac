import type { CellResult, Result } from '@twolamp/session';
import { countByFault } from './faults.js';
import { relativeSpread } from './light.js';
import { counted, listed, percentPlusMinus } from './quantity.js';
import type { Answer } from './sentence.js';

/** Tubes of the pull list that the first screen names. */
export const FIRST_TO_PULL = 5;

interface Share {
  readonly share: number;
  readonly uncertainty: number;
}

/** Light a faulty tube lacks against a typical one, in typical tubes: 0 for one that passes enough. */
function lacking(cell: CellResult): number {
  const relative = cell.transmission.relative ?? (cell.seen ? 1 : 0);
  return Math.max(0, 1 - relative);
}

/** Standard uncertainty of what a new tube in its place brings: its own, and what healthy tubes differ by. */
function lackingUncertainty(cells: readonly CellResult[]): (cell: CellResult) => number {
  const spread = relativeSpread(cells)?.spread ?? 0;
  return (cell) => Math.hypot(cell.transmission.relativeUncertainty ?? 0, spread);
}

function key(place: { row: number; column: number }): string {
  return `${place.row}/${place.column}`;
}

/**
 * Share of the light missing from all faulty tubes that the first of the pull list would bring back.
 *
 * S = Σ first (1 − t) ÷ Σ faulty (1 − t), t = relative transmission; its standard uncertainty by propagation of those
 * of the tubes and of the new ones in their places, taken as independent. Null where no faulty tube lacks light.
 */
export function broughtBack(result: Result, first: number): Share | null {
  const chosen = new Set(result.pull.slice(0, first).map(key));
  const faulty = result.cells.filter((cell) => cell.fault !== 'none');
  const missing = faulty.reduce((sum, cell) => sum + lacking(cell), 0);
  if (!(missing > 0)) return null;
  const share = faulty.reduce((sum, cell) => sum + (chosen.has(key(cell)) ? lacking(cell) : 0), 0) / missing;
  const uncertaintyOf = lackingUncertainty(result.cells);
  const variance = faulty.reduce((sum, cell) => {
    if (lacking(cell) === 0) return sum;
    const weight = ((chosen.has(key(cell)) ? 1 : 0) - share) / missing;
    return sum + (weight * uncertaintyOf(cell)) ** 2;
  }, 0);
  return { share, uncertainty: Math.sqrt(variance) };
}

/** Light missing from all faulty tubes as a share of what the whole array would pass without faults. */
export function missingShare(result: Result): Share {
  const faulty = result.cells.filter((cell) => cell.fault !== 'none' && lacking(cell) > 0);
  const count = result.cells.length;
  return {
    share: faulty.reduce((sum, cell) => sum + lacking(cell), 0) / count,
    uncertainty: Math.hypot(...faulty.map(lackingUncertainty(result.cells))) / count,
  };
}

/** Which tubes need work, and what the first of the pull list bring. */
export function tubesAnswer(result: Result): Answer {
  const counts = countByFault(result.cells);
  const total = counts.reduce((sum, { count }) => sum + count, 0);
  const tubes = result.cells.length;
  if (total === 0) {
    return {
      headline: `None of the ${tubes} tubes needs work.`,
      details: ['No tube stands out from its neighbours.'],
    };
  }
  const kinds = listed(counts.map(({ fault, count }) => `${count} ${fault}`));
  const missing = missingShare(result);
  const details =
    missing.share > 0
      ? [`Together they lack ${percentPlusMinus(missing.share, missing.uncertainty)} of the array’s light.`]
      : ['None of them lacks light.'];
  const first = Math.min(FIRST_TO_PULL, result.pull.length);
  const back = broughtBack(result, first);
  if (first === 0) details.push('None is worth pulling.');
  else if (back !== null && back.share > 0) {
    const which = first === 1 ? 'the tube below' : `the ${first} tubes below`;
    details.push(
      `Pulling ${which} first would bring back ${percentPlusMinus(back.share, back.uncertainty)} of that.`,
    );
  }
  if (result.cells.some((cell) => cell.pointing?.doubtful)) {
    details.push('Which tubes are bent or misaimed is doubtful, since the lamps’ stated places are.');
  }
  return {
    headline: `${total} of ${counted(tubes, 'tube')} need${total === 1 ? 's' : ''} work: ${kinds}.`,
    details,
  };
}
