import { mkdir, mkdtemp, rename, rm, stat, writeFile } from 'node:fs/promises';
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

async function write(folder: string, files: Files): Promise<void> {
  const kind = await kindOf(folder);
  if (kind === 'other') throw new InputError(folder, 'this is a file', 'a folder to write into');
  const home = kind === 'folder' ? folder : dirname(folder);
  await mkdir(home, { recursive: true });
  const draft = await mkdtemp(join(home, '.twolamp-'));
  try {
    for (const [name, content] of Object.entries(files)) await writeFile(join(draft, name), content);
    await mkdir(folder, { recursive: true });
    for (const name of Object.keys(files)) await rename(join(draft, name), join(folder, name));
  } finally {
    await rm(draft, { recursive: true, force: true });
  }
}

/**
 * Writes files into a folder, made where it isn't there; all else in it stays as it was.
 *
 * Every file is written in full in a temporary folder on the same disk before the first one is put in its place.
 *
 * @throws InputError where the folder can't be written into
 */
export async function writeFolder(folder: string, files: Files): Promise<void> {
  try {
    await write(folder, files);
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError(folder, `cannot be written (${(error as Error).message})`, 'a folder to write into');
  }
}
