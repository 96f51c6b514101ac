import { realpath } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { compareResults } from '@twolamp/compare';
import { comparisonCsv, comparisonPage, historyPage } from '@twolamp/report';
import { comparisonHeadlines, doubtsOfBoth } from '@twolamp/words';
import { InputError } from '@twolamp/session';
import { Doubtful, tellDoubts } from './doubtful.js';
import { type OpenResult, openResult } from './files/open-result.js';
import { fillFolder } from './files/output-folder.js';
import { pageSource } from './page-source.js';
import type { Terminal } from './terminal.js';

const NAMES = ['compare.json', 'compare.csv', 'compare.html', 'history.html'];

export interface CompareOptions {
  readonly out?: string;
  readonly json?: true;
}

/** @throws InputError where one file is given twice: all its figures would agree with themselves */
async function requireDifferent(opened: readonly OpenResult[]): Promise<void> {
  const places = new Set<string>();
  for (const { file } of opened) {
    const place = await realpath(file);
    if (places.has(place)) {
      throw new InputError(file, 'this result is given twice', 'results of different sessions');
    }
    places.add(place);
  }
}

/**
 * Compares results and writes everything that comes of it.
 *
 * @param paths - of result.json or its folder, oldest first: the first and the last are compared, all make a history
 * @throws Doubtful where the comparison is, once everything is written
 */
export async function compareInto(
  paths: readonly string[],
  options: CompareOptions,
  terminal: Terminal,
): Promise<void> {
  const opened: OpenResult[] = [];
  for (const path of paths) opened.push(await openResult(path));
  await requireDifferent(opened);
  const [earlier, later] = [opened[0]!, opened.at(-1)!];
  const folder = options.out ?? join(dirname(later.file), 'compared');
  const isHistory = opened.length > 2;
  const comparison = await fillFolder(folder, NAMES, async ({ write }) => {
    const compared = compareResults(earlier.result, later.result);
    await write({
      'compare.json': `${JSON.stringify(compared, null, 2)}\n`,
      'compare.csv': comparisonCsv(compared),
      'compare.html': comparisonPage(compared, earlier, later, pageSource(earlier.file, later.file)),
      ...(isHistory
        ? {
            'history.html': historyPage(
              opened.map(({ result }) => result),
              pageSource(...opened.map(({ file }) => file)),
            ),
          }
        : {}),
    });
    return compared;
  });
  tellDoubts(doubtsOfBoth(earlier.result, later.result), terminal);
  terminal.err(`${comparisonHeadlines(comparison, earlier.result, later.result).join('\n')}\n`);
  terminal.err(`Comparison: ${resolve(folder, 'compare.html')}\n`);
  if (isHistory) terminal.err(`History: ${resolve(folder, 'history.html')}\n`);
  if (options.json) terminal.out(`${JSON.stringify(comparison)}\n`);
  if (comparison.doubtful) throw new Doubtful();
}
