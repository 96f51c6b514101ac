import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { InputError } from '@twolamp/session/errors';

export async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}

async function isFolder(path: string): Promise<boolean> {
  return stat(path).then(
    (status) => status.isDirectory(),
    () => false,
  );
}

/**
 * The file that a person means who names it, or the folder that holds it.
 *
 * @param names - that it may have in its folder, paths included; the first that is there counts, else the first
 */
export async function fileIn(path: string, ...names: readonly [string, ...string[]]): Promise<string> {
  if (!(await isFolder(path))) return path;
  for (const name of names) if (await exists(join(path, name))) return join(path, name);
  return join(path, names[0]);
}

/**
 * Keeps a file that a person may have worked on.
 * @throws InputError where it is there
 */
export async function refuseToReplace(path: string): Promise<void> {
  if (await exists(path)) {
    throw new InputError(
      path,
      'the file is there already, and is left as it is',
      'another folder, or this file moved out of it',
    );
  }
}
