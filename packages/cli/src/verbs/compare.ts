import type { Command } from 'commander';
import { exampleText } from '../command-line.js';
import type { CompareOptions } from '../compare-into.js';
import type { Terminal } from '../terminal.js';

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
    .action(async (first: string, second: string, more: readonly string[], options: CompareOptions) => {
      const { compareInto } = await import('../compare-into.js'); // what compares and draws is loaded when it is needed
      await compareInto([first, second, ...more], options, terminal);
    });
}
