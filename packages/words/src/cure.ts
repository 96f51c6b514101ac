import type { CellResult } from '@twolamp/session';
import type { RealFault } from './faults.js';
import { decimal, withUnit } from './quantity.js';

/** Finest move that a hand can make. Common practice, no source. */
const DECIMALS = 1;

/** What the builder can do short of replacing a misaimed tube, seen from one side; empty where nothing. */
export function cureSentence({ cureShiftMm }: CellResult, from: 'back' | 'front' = 'back'): string {
  if (cureShiftMm === null) return '';
  const across = from === 'back' ? cureShiftMm.across : -cureShiftMm.across;
  const ways = [
    { mm: across, way: across > 0 ? 'to the right' : 'to the left' },
    { mm: cureShiftMm.up, way: cureShiftMm.up > 0 ? 'up' : 'down' },
  ];
  const moves = ways.flatMap(({ mm, way }) => {
    const size = decimal(Math.abs(mm), DECIMALS);
    return Number(size) === 0 ? [] : [`${withUnit(size, 'mm')} ${way}`];
  });
  return moves.length === 0 ? '' : `Move its front end ${moves.join(' and ')}, seen from the ${from}.`;
}

/** What to do about a fault for which no move is known. */
const REMEDY: Readonly<Record<RealFault, string>> = {
  blocked: 'Clear it or replace it.',
  weak: 'Clean it, look for a crushed end, or replace it.',
  bent: 'Straighten it or replace it.',
  misaimed: 'Set its front end anew or replace it.',
  leaky: 'Seal its wall or replace it.',
  open: 'Put a tube of the right width into the hole.',
};

/** What to do about a faulty tube, seen from one side: the move of its front end where one is known. */
export function remedySentence(cell: CellResult, from: 'back' | 'front'): string {
  if (cell.fault === 'none') return '';
  return cureSentence(cell, from) || REMEDY[cell.fault];
}
