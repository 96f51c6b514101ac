import type { Terminal } from './terminal.js';

/** Ends a verb that did all it was asked for, where what is stated and what is seen disagree; all is said by then. */
export class Doubtful extends Error {
  override readonly name = 'Doubtful';
}

/** Doubts go first, a line each. */
export function tellDoubts(doubts: readonly string[], terminal: Terminal): void {
  for (const doubt of doubts) terminal.err(`Doubtful: ${doubt}\n`);
}
