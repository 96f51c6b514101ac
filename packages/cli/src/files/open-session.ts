import { realpath } from 'node:fs/promises';
import { dirname, join, relative, sep } from 'node:path';
import { InputError, readSession, type Session } from '@twolamp/session';
import { fileIn } from './existing.js';
import { readTextFile } from './text-file.js';

/** A session and the folder that its photos lie in. */
export interface OpenSession {
  readonly session: Session;
  /** session.yaml itself. */
  readonly file: string;
  readonly folder: string;
}

/** Photos at fault that are named one by one. */
const MOST_NAMED = 20;

/**
 * Photos may be links, but not to somewhere outside the folder.
 *
 * @param file - that names the photo
 * @param folder - that it lies in
 * @throws InputError where the photo is not there, or elsewhere
 */
export async function requirePhotoInside(file: string, folder: string, photo: string): Promise<void> {
  let place: string;
  try {
    place = await realpath(join(folder, photo));
  } catch {
    throw new InputError(file, `the photo ${photo} is not there`, `it beside ${file}`);
  }
  const way = relative(await realpath(folder), place);
  if (way === '..' || way.startsWith(`..${sep}`)) {
    throw new InputError(
      file,
      `the photo ${photo} is a link that leads outside the folder`,
      'a photo inside it',
    );
  }
}

/**
 * Reads a session file and makes sure that every photo it names is there, inside its folder.
 *
 * @param path - session.yaml, or the folder that holds it
 * @throws InputError where the file or a photo is at fault
 */
export async function openSession(path: string): Promise<OpenSession> {
  const file = await fileIn(path, 'session.yaml');
  const session = readSession(await readTextFile(file, 'a session.yaml'), file);
  const folder = dirname(file);
  const faults: InputError[] = [];
  for (const { photo } of session.shots) {
    try {
      await requirePhotoInside(file, folder, photo);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      faults.push(error);
    }
  }
  const [first, ...others] = faults;
  const left = faults.length - MOST_NAMED;
  const more = left > 0 ? [new InputError(file, `${left} more photos like these`)] : [];
  if (first !== undefined) throw InputError.all([first, ...others.slice(0, MOST_NAMED - 1), ...more]);
  return { session, file, folder };
}
