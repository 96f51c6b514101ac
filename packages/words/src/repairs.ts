import type { Repair, Result } from '@twolamp/session';
import { distanceValue, measuredDistance } from './distance.js';
import { decimal, intervalDecimals, lengthM, percentPlusMinus, plusMinus } from './quantity.js';
import type { Answer } from './sentence.js';
import { gainOfFirst } from './tubes.js';

const THOUSAND = 1000;

/** A gain in dip, in thousandths: single tubes bring no more than some of them. */
export function dipGainText(gain: number | null, uncertainty: number | null): string {
  if (gain === null) return 'not known';
  return plusMinus(THOUSAND * gain, uncertainty === null ? null : THOUSAND * uncertainty);
}

/** What replacing tubes brings, as the result has it; of a result that says nothing, the light alone, of all. */
export function repairsOf(result: Result): readonly Repair[] {
  const { repairs, pull } = result;
  if (repairs !== undefined) return repairs;
  if (pull.length === 0) return [];
  const { gain, uncertainty } = gainOfFirst(result, pull.length);
  const none = { dip: null, dipUncertainty: null, fartherM: null, fartherUncertaintyM: null };
  return [{ tubes: pull.length, light: gain, lightUncertainty: uncertainty, ...none }];
}

/** “7 ± 1 mm”, “0.12 ± 0.03 m”; below 10 cm in millimetres. */
export function fartherText({ fartherM, fartherUncertaintyM }: Repair): string {
  if (fartherM === null) return 'not known';
  const near = Math.abs(fartherM) < 0.1;
  const of = near ? 1000 : 1;
  return plusMinus(
    of * fartherM,
    fartherUncertaintyM === null ? null : of * fartherUncertaintyM,
    near ? 'mm' : 'm',
  );
}

export const repairLight = ({ light, lightUncertainty }: Repair): string =>
  percentPlusMinus(light, lightUncertainty);

export const repairDip = ({ dip, dipUncertainty }: Repair): string => dipGainText(dip, dipUncertainty);

/** “The first”, “the first 5”, “all 20”. */
export function repairName({ tubes }: Repair, onList: number): string {
  if (tubes === onList) return onList === 1 ? 'the one tube' : `all ${onList}`;
  return tubes === 1 ? 'the first' : `the first ${tubes}`;
}

/** Standard uncertainties that a change must exceed to be worth a sentence of its own. Common practice, no source. */
const CLEAR = 2;

/** Why nothing tells what repairing brings in metres. */
function whyNoDistance(resolving: Result['resolving']): string {
  if (resolving === null)
    return 'What it brings in resolving distance takes pair shots and a sweep of one lamp.';
  if (resolving.doubtful) {
    return 'What it brings in resolving distance is left out: the distance itself is doubtful.';
  }
  return 'What it brings in resolving distance takes a sweep of one lamp, and pair shots on both sides of that distance.';
}

/** Why the first tubes alone may bring two lamps less far, which nobody expects of a repair. */
function whyLess(result: Result): string[] {
  const less = repairsOf(result).some(
    ({ dip, dipUncertainty }) => dip !== null && dip < -CLEAR * (dipUncertainty ?? 0),
  );
  return less
    ? [
        'A minus in the table: more light comes back between the two lamps’ images than onto them, so that these tubes alone make the lamps merge a little nearer.',
      ]
    : [];
}

/** What replacing the pull list would bring, in metres where that can be told; null where nothing is to be pulled. */
export function repairAnswer(result: Result): Answer | null {
  const all = repairsOf(result).at(-1);
  const { resolving } = result;
  if (all === undefined) return null;
  const name = `Replacing ${repairName(all, result.pull.length)}`;
  const light = `return ${repairLight(all)} of the array’s light to where it belongs`;
  const { fartherM, fartherUncertaintyM } = all;
  if (fartherM === null || resolving === null) {
    const details = result.array.kind === 'cell-screen' ? [] : [whyNoDistance(resolving)];
    return { headline: `${name} would ${light}.`, details };
  }
  const clear = Math.abs(fartherM) > CLEAR * (fartherUncertaintyM ?? 0);
  const lamps = `two lamps ${lengthM(resolving.spacingM)} apart`;
  const now = distanceValue(measuredDistance(resolving));
  const headline = clear
    ? `${name} would keep ${lamps} separate ${fartherText({ ...all, fartherM: Math.abs(fartherM) })} ${fartherM > 0 ? 'farther away' : 'less far'} than now (${now}).`
    : `${name} would hardly change how far ${lamps} stay separate: by ${fartherText(all)}.`;
  const { lowM, highM } = resolving;
  const hidden =
    lowM !== null && highM !== null && Math.abs(fartherM) < (highM - lowM) / 2
      ? [
          `That is less than the uncertainty of the measured distance (95 % within ± ${decimal((highM - lowM) / 2, intervalDecimals(lowM, highM))}\u00a0m): measuring again may not show it.`,
        ]
      : [];
  return { headline, details: [...hidden, `It would ${light}.`, ...whyLess(result)] };
}
