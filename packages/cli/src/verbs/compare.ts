import { realpath } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { compareResults } from '@twolamp/compare';
import {
  comparisonCsv,
  comparisonHeadlines,
  comparisonPage,
  doubtsOfBoth,
  historyPage,
} from '@twolamp/report';
import { InputError } from '@twolamp/session';
import type { Command } from 'commander';
import { Doubtful, tellDoubts } from '../doubtful.js';
import { type OpenResult, openResult } from '../files/open-result.js';
import { fillFolder } from '../files/output-folder.js';
import { pageSource } from '../page-source.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

const NAMES = ['compare.json', 'compare.csv', 'compare.html', 'history.html'];

interface Options {
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

export function addCompare(command: Command, terminal: Terminal): void {
  command
    .argument('<earlier>', 'result.json of the earlier session, or its folder')
    .argument('<later>', 'result.json of the later session, or its folder')
    .argument(
      '[more...]',
      'results after that, oldest first: the first and the last are compared, all make a history',
    )
    .option('--out <folder>', 'folder for the comparison (default: compared/ beside the last result)')
    .option('--json', 'print the comparison on stdout')
    .addHelpText(
      'after',
      exampleText('compare first-build/measured/result.json rebuilt/measured/result.json'),
    )
    .action(async (first: string, second: string, more: readonly string[], options: Options) => {
      const opened: OpenResult[] = [];
      for (const path of [first, second, ...more]) opened.push(await openResult(path));
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
    });
}
