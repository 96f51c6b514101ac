import { join } from 'node:path';
import { writeSession } from '@twolamp/session';
import type { Command } from 'commander';
import { draftSession } from '../draft-session.js';
import { refuseToReplace } from '../files/existing.js';
import { writeFolder } from '../files/output-folder.js';
import { photoNames } from '../files/photo-names.js';
import { showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly json?: true;
}

export function addBegin(program: Command, terminal: Terminal): void {
  program
    .command('begin')
    .description(
      'writes a session.yaml for a folder of photos: guesses the kinds, marks what you must fill in',
    )
    .argument('<folder>', 'folder that holds the photos')
    .option('--json', 'print the guessed shots on stdout')
    .addHelpText('after', '\nExample:\n  twolamp begin my-array\n')
    .action(async (folder: string, options: Options) => {
      const file = join(folder, 'session.yaml');
      const names = await photoNames(folder);
      await refuseToReplace(file);
      const progress = showProgress(terminal);
      const { draft, looked } = await draftSession(folder, names, progress.step).finally(progress.end);
      await writeFolder(folder, { 'session.yaml': writeSession(draft) });
      const kinds = [...new Set(draft.shots.map((shot) => shot.kind))].map(
        (kind) => `${draft.shots.filter((shot) => shot.kind === kind).length} ${kind}`,
      );
      terminal.err(`${kinds.join(', ')}; ${looked} of them by look.\n`);
      terminal.err(`Fill in every ___ in ${file}, then: twolamp check ${file}\n`);
      if (options.json) terminal.out(`${JSON.stringify(draft.shots)}\n`);
    });
}
