import type { CellResult } from '@twolamp/session';
import { decimal, withUnit } from './quantity.js';

const size = (mm: number) => withUnit(decimal(Math.abs(mm), 0), 'mm');

/** “12 mm left”. */
export const acrossText = (mm: number): string => `${size(mm)} ${mm < 0 ? 'left' : 'right'}`;

/** “3 mm up”. */
export const upText = (mm: number): string => `${size(mm)} ${mm < 0 ? 'down' : 'up'}`;

/** Where a packed tube lies from the middle of the array, seen from one side: “12 mm left, 3 mm up”. */
export function placeFromMiddle({ atMm }: CellResult, from: 'back' | 'front'): string {
  return `${acrossText(from === 'back' ? atMm.across : -atMm.across)}, ${upText(atMm.up)}`;
}
