import type { Unusual } from '@twolamp/session';
import type { Terminal } from './terminal.js';

/** Asks for stated values that are possible but seldom met to be looked at again; the work goes on. */
export function askAgain(unusual: readonly Unusual[], terminal: Terminal): void {
  if (unusual.length === 0) return;
  const lines = unusual.map(({ field, says }) => `- ${field}: ${says}\n`);
  terminal.err(`Please look again; if it is so, all is well:\n${lines.join('')}`);
}
