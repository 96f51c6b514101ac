import type { CellResult, Fault } from '@twolamp/session';

export type RealFault = Exclude<Fault, 'none'>;

/** What a fault means, in one line for the legend. */
export const FAULT_MEANING: Record<RealFault, string> = {
  blocked: 'no light comes through',
  weak: 'passes less than its neighbours',
  bent: 'looks aside, sees wider, loses light',
  misaimed: 'looks aside, where its mark points; its front end is off its place',
  leaky: 'much of its light comes out of a neighbour',
  open: 'an empty hole: passes too much',
};

export const REAL_FAULTS = Object.keys(FAULT_MEANING) as RealFault[];

/** Outline of each fault's mark in a box of −1 to 1: told apart by shape, never by colour alone. */
export const FAULT_MARK: Record<RealFault, string> = {
  blocked: 'M-.6-.6L.6 .6M-.6 .6L.6-.6',
  weak: 'M-.7-.5H.7L0 .7Z',
  bent: 'M-.3-.8Q.9 0-.3 .8',
  misaimed: 'M-.6 .6L.6-.6M-.1-.6H.6V.1',
  leaky: 'M0-.8V.8M-.8 0H.8',
  open: 'M-.7 0A.7 .7 0 1 0 .7 0A.7 .7 0 1 0-.7 0',
};

export function countByFault(cells: readonly CellResult[]): { fault: RealFault; count: number }[] {
  return REAL_FAULTS.map((fault) => ({
    fault,
    count: cells.filter((cell) => cell.fault === fault).length,
  })).filter(({ count }) => count > 0);
}
