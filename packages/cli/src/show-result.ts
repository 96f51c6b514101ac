import { join, resolve } from 'node:path';
import { doubts, headlines } from '@twolamp/words';
import type { Result } from '@twolamp/session';
import { Doubtful, tellDoubts } from './doubtful.js';
import type { Terminal } from './terminal.js';

/**
 * Tells what was measured in a few sentences, and where the page is; the figures themselves go to machines. Doubts go
 * first.
 *
 * @throws Doubtful where figures rest on something that the photos contradict, when all is said
 */
export function showResult(result: Result, folder: string, json: boolean, terminal: Terminal): void {
  tellDoubts(doubts(result), terminal);
  terminal.err(`${headlines(result).join('\n')}\n`);
  terminal.err(`Report: ${resolve(join(folder, 'report.html'))}\n`);
  terminal.err(`To print and take to the bench: ${resolve(join(folder, 'bench-page.pdf'))}\n`);
  if (json) terminal.out(`${JSON.stringify(result)}\n`);
  if (result.doubtful) throw new Doubtful();
}
