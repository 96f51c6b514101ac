import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { InputError, mendSession } from '@twolamp/session';
import type { Command } from 'commander';
import { checkSession, type Finding } from '../check-session.js';
import { type CheckedStatements, checkStatements } from '../check-statements.js';
import { Doubtful } from '../doubtful.js';
import { refuseToReplace } from '../files/existing.js';
import { type OpenSession, openSession } from '../files/open-session.js';
import { readTextFile } from '../files/text-file.js';
import { commandLine, exampleText } from '../command-line.js';
import { agrees, showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly json?: true;
  readonly mend?: true;
}

/** Writes the session with the values that fit beside the old one, if a person agrees. */
async function offerMended(
  open: OpenSession,
  { mended }: CheckedStatements,
  terminal: Terminal,
): Promise<void> {
  if (mended === null) {
    terminal.err('The photos suggest no better values, so there is no mended session to write.\n');
    return;
  }
  const path = join(open.folder, MENDED);
  await refuseToReplace(path);
  if (terminal.ask === null) {
    terminal.err(`This takes a yes or no: run it in a terminal to write ${path}\n`);
    return;
  }
  if (!(await agrees(terminal.ask, `Write the session with the values that fit the photos to ${path}?`)))
    return;
  const text = await readTextFile(open.file, 'a session.yaml');
  await writeFile(path, mendSession(text, mended.stated, mended.fitting), { flag: 'wx' });
  terminal.err(`Written: ${path}. Look it through before you measure: photos can’t tell everything.\n`);
}

const MENDED = 'session-mended.yaml';

function lines(title: string, findings: readonly Finding[]): string {
  if (findings.length === 0) return '';
  const texts = findings.map(({ photo, says }) => `- ${photo === null ? says : `${photo}: ${says}`}\n`);
  return `${title}\n${texts.join('')}`;
}

export function addCheck(command: Command, terminal: Terminal): void {
  command
    .argument('<session>', 'session.yaml, or the folder that holds it')
    .option('--mend', 'offer to write a session with the values that fit the photos')
    .option('--json', 'print the findings on stdout')
    .addHelpText('after', exampleText('check my-array/session.yaml --mend'))
    .action(async (path: string, options: Options) => {
      const open = await openSession(path);
      const progress = showProgress(terminal);
      const { findings, kept } = await checkSession(open, progress.step).finally(progress.end);
      const spoilt = findings.filter((one) => one.spoils);
      terminal.err(lines('Cannot be used as they are:', spoilt));
      terminal.err(
        lines(
          'Could be better:',
          findings.filter((one) => !one.spoils),
        ),
      );
      const statements =
        spoilt.length > 0 ? null : await checkStatements(open, kept, progress.step).finally(progress.end);
      const doubts = (statements?.doubts ?? []).map((says) => ({ photo: null, spoils: false, says }));
      terminal.err(lines(`What ${open.file} states and its photos contradict:`, doubts));
      const unchecked = (statements?.unchecked ?? []).map((says) => ({ photo: null, spoils: false, says }));
      terminal.err(lines('The photos cannot check everything:', unchecked));
      if (options.json) terminal.out(`${JSON.stringify([...findings, ...doubts, ...unchecked])}\n`);
      if (spoilt.length > 0) {
        throw new InputError(
          open.file,
          `${new Set(spoilt.map((one) => one.photo)).size} of its photos cannot be used as they are`,
          'new photos in their place',
        );
      }
      if (options.mend && statements) await offerMended(open, statements, terminal);
      if (doubts.length > 0) {
        terminal.err('Correct it first: figures that rest on it would be doubtful.\n');
        throw new Doubtful();
      }
      terminal.err(`Ready to be measured: ${commandLine('measure', open.file)}\n`);
    });
}
