import { dirname } from 'node:path';
import type { Command } from 'commander';
import { openResult } from '../files/open-result.js';
import { fillFolder } from '../files/output-folder.js';
import { pageSource } from '../page-source.js';
import { REPORT_NAMES, reportFiles } from '../report-files.js';
import { showResult } from '../show-result.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addReport(command: Command, terminal: Terminal): void {
  command
    .argument('<result>', 'result.json, or the folder that holds it')
    .option('--out <folder>', 'folder for the report (default: the one that result.json lies in)')
    .option('--json', 'print the result on stdout')
    .addHelpText('after', exampleText('report my-array/measured/result.json'))
    .action(async (path: string, options: Options) => {
      const { file, result, evidence } = await openResult(path);
      const folder = options.out ?? dirname(file);
      await fillFolder(folder, REPORT_NAMES, async ({ write }) =>
        write(await reportFiles(result, evidence, pageSource(file))),
      );
      showResult(result, folder, options.json === true, terminal);
    });
}
