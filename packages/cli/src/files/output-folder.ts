import { mkdir, mkdtemp, readdir, rename, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { InputError } from '@twolamp/session';

/** File names and what goes into them. */
export type Files = Readonly<Record<string, string | Uint8Array>>;

async function kindOf(path: string): Promise<'folder' | 'other' | 'nothing'> {
  try {
    return (await stat(path)).isDirectory() ? 'folder' : 'other';
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') return 'nothing';
    throw error;
  }
}

async function fill(folder: string, write: (draft: string) => Promise<void>): Promise<void> {
  const kind = await kindOf(folder);
  if (kind === 'other') throw new InputError(folder, 'this is a file', 'a folder to write into');
  const home = kind === 'folder' ? folder : dirname(folder);
  await mkdir(home, { recursive: true });
  const draft = await mkdtemp(join(home, '.twolamp-'));
  try {
    await write(draft);
    await mkdir(folder, { recursive: true });
    for (const name of await readdir(draft)) await rename(join(draft, name), join(folder, name));
  } finally {
    await rm(draft, { recursive: true, force: true });
  }
}

const isSystemError = (error: unknown) => error instanceof Error && 'syscall' in error;

/**
 * Fills a folder, made where it isn't there; all else in it stays as it was.
 *
 * Every file is written in full in a temporary folder on the same disk before the first one is put in its place.
 *
 * @param write - writes the files into the temporary folder
 * @throws InputError where the folder can't be written into; whatever else `write` throws
 */
export async function fillFolder(folder: string, write: (draft: string) => Promise<void>): Promise<void> {
  try {
    await fill(folder, write);
  } catch (error) {
    if (!isSystemError(error)) throw error;
    throw new InputError(folder, `cannot be written (${(error as Error).message})`, 'a folder to write into');
  }
}

/** Writes files into a folder, as {@link fillFolder} does. */
export async function writeFolder(folder: string, files: Files): Promise<void> {
  await fillFolder(folder, async (draft) => {
    for (const [name, content] of Object.entries(files)) await writeFile(join(draft, name), content);
  });
}
