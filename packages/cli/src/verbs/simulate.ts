import { dirname, join, resolve } from 'node:path';
import { readPhoto } from '@twolamp/photos';
import { type Pictures, type Plan, readPlan, writeSimulation } from '@twolamp/simulate';
import type { LinearPhoto } from '@twolamp/session';
import type { Command } from 'commander';
import { exists, fileIn, refuseToReplace } from '../files/existing.js';
import { requirePhotoInside } from '../files/open-session.js';
import { fillFolder } from '../files/output-folder.js';
import { readTextFile } from '../files/text-file.js';
import { exampleText } from '../command-line.js';
import { showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly out?: string;
  readonly json?: true;
}

/** The pictures that a plan's scenes show, from beside the plan. */
async function scenePictures(plan: Plan, file: string): Promise<Pictures> {
  const folder = dirname(file);
  const pictures = new Map<string, LinearPhoto>();
  for (const { picture } of plan.scenes) {
    await requirePhotoInside(file, folder, picture);
    pictures.set(picture, await readPhoto(join(folder, picture), { tone: 'srgb', channel: 'luminance' }));
  }
  return pictures;
}

export function addSimulate(command: Command, terminal: Terminal): void {
  command
    .argument(
      '<plan>',
      'plan.yaml: the array with its faults, the camera and the shots; or a session.yaml that plan wrote',
    )
    .option('--out <folder>', 'folder for the session (default: simulated/ beside the plan)')
    .option('--json', 'print the truth on stdout')
    .addHelpText('after', exampleText('simulate my-plan.yaml --out my-simulation'))
    .action(async (path: string, options: Options) => {
      const file = await fileIn(path, 'plan.yaml', 'session.yaml');
      const plan = readPlan(await readTextFile(file, 'a plan.yaml'), file);
      const pictures = await scenePictures(plan, file);
      const folder = options.out ?? join(dirname(file), 'simulated');
      // A session without a truth is no simulation: its photos were taken by somebody.
      if (!(await exists(join(folder, 'truth.json')))) await refuseToReplace(join(folder, 'session.yaml'));
      const progress = showProgress(terminal);
      const { truth } = await fillFolder(folder, ['session.yaml', 'truth.json'], ({ draft }) =>
        writeSimulation(plan, draft, (photo, done, total) => progress.step(done, total, photo), pictures),
      ).finally(progress.end);
      terminal.err(`Session: ${resolve(folder, 'session.yaml')}\n`);
      if (options.json) terminal.out(`${JSON.stringify(truth)}\n`);
    });
}
