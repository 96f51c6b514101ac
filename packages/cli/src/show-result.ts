import { join, resolve } from 'node:path';
import { doubts, headlines } from '@twolamp/report';
import type { Result } from '@twolamp/session';
import type { Terminal } from './terminal.js';

/** Tells what was measured in a few sentences, and where the page is; the figures themselves go to machines. */
export function showResult(result: Result, folder: string, json: boolean, terminal: Terminal): void {
  terminal.err(`${headlines(result).join('\n')}\n`);
  for (const doubt of doubts(result)) terminal.err(`Doubtful: ${doubt}\n`);
  terminal.err(`Report: ${resolve(join(folder, 'report.html'))}\n`);
  if (json) terminal.out(`${JSON.stringify(result)}\n`);
}
