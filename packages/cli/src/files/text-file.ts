import { readFile } from 'node:fs/promises';
import { InputError } from '@twolamp/session';

/**
 * The text of a file that a person named.
 * @param expected - what the file should be, for the message
 * @throws InputError where it can't be read
 */
export async function readTextFile(path: string, expected: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new InputError(path, unreadable(error), expected);
  }
}

/** Why a file could not be read, as a phrase. */
function unreadable(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return 'there is no such file';
    case 'EISDIR':
      return 'this is a folder';
    default:
      return `the file cannot be read (${(error as Error).message})`;
  }
}
