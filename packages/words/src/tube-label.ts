import type { CellResult } from '@twolamp/session';
import { placeWords } from './findings/words-of.js';
import { percentPlusMinus, plusMinus, ratioPlusMinus } from './quantity.js';

/** What a map says beside the pointer over a tube: its place, its fault, and what each of the maps shows of it. */
export function tubeLabel(cell: CellResult): string {
  const { fault, transmission, pointing, crosstalk } = cell;
  const { relative, relativeUncertainty } = transmission;
  const { errorDeg = null, acceptanceWidthDeg = null } = pointing ?? {};
  return [
    placeWords(cell),
    ...(fault === 'none' ? [] : [fault]),
    ...(relative === null ? [] : [`light ${ratioPlusMinus(relative, relativeUncertainty)}`]),
    ...(errorDeg === null ? [] : [`looks ${plusMinus(errorDeg, pointing!.errorUncertaintyDeg, '°')} aside`]),
    ...(acceptanceWidthDeg === null
      ? []
      : [`sees ${plusMinus(acceptanceWidthDeg, pointing!.acceptanceWidthUncertaintyDeg, '°')} wide`]),
    ...(crosstalk === null
      ? []
      : [`crosstalk ${percentPlusMinus(crosstalk.total, crosstalk.totalUncertainty)}`]),
  ].join(' · ');
}
