import { InputError } from '@twolamp/session';
import type { Command } from 'commander';
import { checkSession, type Finding } from '../check-session.js';
import { openSession } from '../files/open-session.js';
import { showProgress, type Terminal } from '../terminal.js';

interface Options {
  readonly json?: true;
}

function lines(title: string, findings: readonly Finding[]): string {
  if (findings.length === 0) return '';
  const texts = findings.map(({ photo, says }) => `- ${photo === null ? says : `${photo}: ${says}`}\n`);
  return `${title}\n${texts.join('')}`;
}

export function addCheck(command: Command, terminal: Terminal): void {
  command
    .argument('<session>', 'session.yaml, or the folder that holds it')
    .option('--json', 'print the findings on stdout')
    .addHelpText('after', '\nExample:\n  twolamp check my-array/session.yaml\n')
    .action(async (path: string, options: Options) => {
      const open = await openSession(path);
      const progress = showProgress(terminal);
      const findings = await checkSession(open, progress.step).finally(progress.end);
      const spoilt = findings.filter((one) => one.spoils);
      terminal.err(lines('No use as they are:', spoilt));
      terminal.err(
        lines(
          'Could be better:',
          findings.filter((one) => !one.spoils),
        ),
      );
      if (options.json) terminal.out(`${JSON.stringify(findings)}\n`);
      if (spoilt.length > 0) {
        throw new InputError(
          open.file,
          `${new Set(spoilt.map((one) => one.photo)).size} of its photos are no use`,
          'them shot again',
        );
      }
      terminal.err(`Ready to be measured: twolamp measure ${open.file}\n`);
    });
}
