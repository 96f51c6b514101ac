import type { CellResult } from '@twolamp/session';
import { decimal, withUnit } from './quantity.js';

/** Finest move that a hand can make. Common practice, no source. */
const DECIMALS = 1;

/** What the builder can do short of replacing a misaimed tube, seen from one side; empty where nothing. */
export function cureSentence({ cureShiftMm }: CellResult, from: 'back' | 'front' = 'back'): string {
  if (cureShiftMm === null) return '';
  const across = from === 'back' ? cureShiftMm.across : -cureShiftMm.across;
  const size = (mm: number) => withUnit(decimal(Math.abs(mm), DECIMALS), 'mm');
  return (
    `Move its front end ${size(across)} to the ${across > 0 ? 'right' : 'left'} and ` +
    `${size(cureShiftMm.up)} ${cureShiftMm.up > 0 ? 'up' : 'down'}, seen from the ${from}.`
  );
}
