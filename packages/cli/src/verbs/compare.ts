import { dirname, join, resolve } from 'node:path';
import { compareResults } from '@twolamp/compare';
import { comparisonCsv, comparisonHeadlines, comparisonPage, historyPage } from '@twolamp/report';
import type { Command } from 'commander';
import { type OpenResult, openResult } from '../files/open-result.js';
import { fillFolder } from '../files/output-folder.js';
import type { Terminal } from '../terminal.js';

const NAMES = ['compare.json', 'compare.csv', 'compare.html', 'history.html'];

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addCompare(command: Command, terminal: Terminal): void {
  command
    .argument('<earlier>', 'result.json of the earlier session')
    .argument('<later>', 'result.json of the later session')
    .argument(
      '[more...]',
      'results after that, oldest first: the first and the last are compared, all make a history',
    )
    .option('--out <folder>', 'folder for the comparison (default: compared/ beside the last result)')
    .option('--json', 'print the comparison on stdout')
    .addHelpText(
      'after',
      '\nExample:\n  twolamp compare first-build/measured/result.json rebuilt/measured/result.json\n',
    )
    .action(async (first: string, second: string, more: readonly string[], options: Options) => {
      const files = [first, second, ...more];
      const opened: OpenResult[] = [];
      for (const file of files) opened.push(await openResult(file));
      const [earlier, later] = [opened[0]!, opened.at(-1)!];
      const folder = options.out ?? join(dirname(files.at(-1)!), 'compared');
      const isHistory = opened.length > 2;
      const comparison = await fillFolder(folder, NAMES, async ({ write }) => {
        const compared = compareResults(earlier.result, later.result);
        await write({
          'compare.json': `${JSON.stringify(compared, null, 2)}\n`,
          'compare.csv': comparisonCsv(compared),
          'compare.html': comparisonPage(compared, earlier, later),
          ...(isHistory ? { 'history.html': historyPage(opened.map(({ result }) => result)) } : {}),
        });
        return compared;
      });
      terminal.err(`${comparisonHeadlines(comparison, earlier.result, later.result).join('\n')}\n`);
      terminal.err(`Comparison: ${resolve(folder, 'compare.html')}\n`);
      if (isHistory) terminal.err(`History: ${resolve(folder, 'history.html')}\n`);
      if (options.json) terminal.out(`${JSON.stringify(comparison)}\n`);
    });
}
