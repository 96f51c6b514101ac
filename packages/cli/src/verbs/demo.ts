import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { measureInto } from '../measure-session.js';
import { showResult } from '../show-result.js';
import { exampleText } from '../command-line.js';
import type { Terminal } from '../terminal.js';

const DEMO = fileURLToPath(new URL('../../../../datasets/demo', import.meta.url));

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addDemo(command: Command, terminal: Terminal): void {
  command
    .option('--out <folder>', 'folder for the results (default: datasets/demo/measured in the checkout)')
    .option('--json', 'print the result on stdout')
    .addHelpText('after', exampleText('demo'))
    .action(async (options: Options) => {
      const { result, folder } = await measureInto(DEMO, options.out, terminal);
      showResult(result, folder, options.json === true, terminal);
    });
}
