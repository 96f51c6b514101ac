import { dirname, join, resolve } from 'node:path';
import { readPlan, type Truth, writeSimulation } from '@twolamp/simulate';
import type { Command } from 'commander';
import { exists, refuseToReplace } from '../files/existing.js';
import { fillFolder } from '../files/output-folder.js';
import { readTextFile } from '../files/text-file.js';
import { showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

export function addSimulate(program: Command, terminal: Terminal): void {
  program
    .command('simulate')
    .description('makes the photos of a session by calculation, with session.yaml and the truth beside them')
    .argument('<plan>', 'plan.yaml: the array with its faults, the camera and the shots')
    .option('--out <folder>', 'folder for the session (default: simulated/ beside the plan)')
    .option('--json', 'print the truth on stdout')
    .addHelpText('after', '\nExample:\n  twolamp simulate my-plan.yaml --out my-simulation\n')
    .action(async (file: string, options: Options) => {
      const plan = readPlan(await readTextFile(file, 'a plan.yaml'), file);
      const folder = options.out ?? join(dirname(file), 'simulated');
      // A session without a truth is no simulation: its photos were taken by somebody.
      if (!(await exists(join(folder, 'truth.json')))) await refuseToReplace(join(folder, 'session.yaml'));
      const progress = showProgress(terminal);
      let truth: Truth | undefined;
      await fillFolder(folder, async (draft) => {
        const simulation = await writeSimulation(plan, draft, (photo, done, total) =>
          progress.step(done, total, photo),
        );
        truth = simulation.truth;
      }).finally(progress.end);
      terminal.err(`Session: ${resolve(folder, 'session.yaml')}\n`);
      if (options.json) terminal.out(`${JSON.stringify(truth)}\n`);
    });
}
