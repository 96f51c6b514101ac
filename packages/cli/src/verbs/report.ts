import { dirname, join } from 'node:path';
import { readEvidence, readResult } from '@twolamp/session';
import type { Command } from 'commander';
import { exists } from '../files/existing.js';
import { writeFolder } from '../files/output-folder.js';
import { readTextFile } from '../files/text-file.js';
import { reportFiles } from '../report-files.js';
import { showResult } from '../show-result.js';
import type { Terminal } from '../terminal.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addReport(program: Command, terminal: Terminal): void {
  program
    .command('report')
    .description('writes the report again, from a result and the evidence.json beside it')
    .argument('<result>', 'result.json')
    .option('--out <folder>', 'folder for the report (default: the one that result.json lies in)')
    .option('--json', 'print the result on stdout')
    .addHelpText('after', '\nExample:\n  twolamp report my-array/measured/result.json\n')
    .action(async (file: string, options: Options) => {
      const result = readResult(await readTextFile(file, 'a result.json'), file);
      const beside = join(dirname(file), 'evidence.json');
      const evidence = (await exists(beside))
        ? readEvidence(await readTextFile(beside, 'an evidence.json'), beside)
        : null;
      const folder = options.out ?? dirname(file);
      await writeFolder(folder, await reportFiles(result, evidence));
      showResult(result, folder, options.json === true, terminal);
    });
}
