import type { CellResult } from '@twolamp/session';
import { decimal, withUnit } from './quantity.js';

/** Where a packed tube lies from the middle of the array, seen from one side: “12 mm left, 3 mm up”. */
export function placeFromMiddle({ atMm }: CellResult, from: 'back' | 'front'): string {
  const size = (mm: number) => withUnit(decimal(Math.abs(mm), 0), 'mm');
  const across = from === 'back' ? atMm.across : -atMm.across;
  return `${size(across)} ${across < 0 ? 'left' : 'right'}, ${size(atMm.up)} ${atMm.up < 0 ? 'down' : 'up'}`;
}
