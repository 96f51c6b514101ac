import { writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { systemFault } from '@twolamp/photos/system-fault';
import { InputError } from '@twolamp/session/errors';
import { type DraftFolder, openDraft } from './draft-folder.js';

/** File names and what goes into them. */
export type Files = Readonly<Record<string, string | Uint8Array>>;

/** Where a verb puts its files before they all appear at once. */
export interface Output {
  /** Folder to write into. */
  readonly draft: string;
  readonly write: (files: Files) => Promise<void>;
}

const openDrafts = new Set<DraftFolder>();

/** Removes every draft of this process: for when it is told to stop. */
export function discardDrafts(): void {
  for (const draft of openDrafts) draft.discard();
  openDrafts.clear();
}

/** A fault of the file system while writing into a draft, as one of the folder. */
function told(error: unknown, folder: string): unknown {
  if (!(error instanceof Error) || !('syscall' in error)) return error;
  const { path } = error as NodeJS.ErrnoException;
  if (path !== undefined && !resolve(path).startsWith(resolve(folder))) return error;
  return new InputError(folder, `cannot be written (${systemFault(error)})`, 'a folder to write into');
}

/**
 * Fills a folder, made where it isn't there; all else in it stays as it was.
 *
 * The folder is tried before the work begins, and no second run can write into it meanwhile. Every file is written in
 * full before the first one is put in its place, and nothing is left behind where the work fails.
 *
 * @param names - of the files to come, as far as they are known beforehand
 * @param work - writes the files
 * @throws InputError where the folder can't be written into, or another run does so; whatever else `work` throws
 */
export async function fillFolder<T>(
  folder: string,
  names: readonly string[],
  work: (output: Output) => Promise<T>,
): Promise<T> {
  let draft: DraftFolder | undefined;
  try {
    draft = openDraft(folder, names);
    openDrafts.add(draft);
    const { files } = draft;
    const write = async (content: Files) => {
      for (const [name, text] of Object.entries(content)) await writeFile(join(files, name), text);
    };
    const done = await work({ draft: files, write });
    draft.commit();
    return done;
  } catch (error) {
    draft?.discard();
    throw told(error, folder);
  } finally {
    if (draft) openDrafts.delete(draft);
  }
}

/** Writes files into a folder, as {@link fillFolder} does. */
export async function writeFolder(folder: string, files: Files): Promise<void> {
  await fillFolder(folder, Object.keys(files), ({ write }) => write(files));
}
