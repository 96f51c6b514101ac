import type { Command } from 'commander';
import { measureInto } from '../measure-session.js';
import { showResult } from '../show-result.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addMeasure(command: Command, terminal: Terminal): void {
  command
    .argument('<session>', 'session.yaml, or the folder that holds it')
    .option('--out <folder>', 'folder for the results (default: measured/ beside session.yaml)')
    .option('--json', 'print the result on stdout')
    .addHelpText('after', exampleText('measure my-array/session.yaml'))
    .action(async (session: string, options: Options) => {
      const { result, folder } = await measureInto(session, options.out, terminal);
      showResult(result, folder, options.json === true, terminal);
    });
}
