import { format } from 'node:util';
import { InputError } from '@twolamp/session/errors';
import { CommanderError } from 'commander';
import { Doubtful } from './doubtful.js';
import { twolamp } from './program.js';
import { safeTerminal, type Terminal } from './terminal.js';

/** What the process ends with. */
export const EXIT = { done: 0, inputAtFault: 1, wrongUsage: 2, doubtful: 3, ownFault: 70 } as const;

/**
 * Runs one command line.
 *
 * @param args - what follows the command's name
 * @returns the exit code
 */
export async function run(args: readonly string[], given: Terminal): Promise<number> {
  const terminal = safeTerminal(given);
  const { log } = console;
  // Libraries print warnings of their own there; stdout is for figures.
  console.log = (...words) => terminal.err(`${format(...words)}\n`);
  try {
    const program = await twolamp(args, terminal);
    await program.parseAsync(args, { from: 'user' });
    return EXIT.done;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.wrongUsage;
    if (error instanceof Doubtful) return EXIT.doubtful;
    if (error instanceof InputError) {
      terminal.err(`${error.message}\n`);
      return EXIT.inputAtFault;
    }
    terminal.err('This is a fault of twolamp’s own. Please report it, with the lines below.\n');
    terminal.err(`${error instanceof Error ? error.stack : String(error)}\n`);
    return EXIT.ownFault;
  } finally {
    console.log = log;
  }
}
