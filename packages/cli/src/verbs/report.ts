import type { Command } from 'commander';
import { exampleText } from '../command-line.js';
import type { ReportOptions } from '../report-into.js';
import type { Terminal } from '../terminal.js';

export function addReport(command: Command, terminal: Terminal): void {
  command
    .argument('<result>', 'result.json, or the folder that holds it')
    .option('--out <folder>', 'folder for the report (default: the one that result.json lies in)')
    .option('--json', 'print the result on stdout')
    .addHelpText('after', exampleText('report my-array/measured/result.json'))
    .action(async (path: string, options: ReportOptions) => {
      const { reportInto } = await import('../report-into.js'); // what draws is loaded when it is needed
      await reportInto(path, options, terminal);
    });
}
