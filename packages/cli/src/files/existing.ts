import { stat } from 'node:fs/promises';
import { InputError } from '@twolamp/session/errors';

export async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
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
      'another folder, or the file gone',
    );
  }
}
