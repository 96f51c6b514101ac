import { constants, type Stats } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { InputError } from '@twolamp/session/errors';
import { systemFault } from './system-fault.js';

/** A file that is being read, and how long it is. */
export interface OpenFile {
  readonly handle: FileHandle;
  readonly size: number;
}

/** What a file has to be. */
export interface FileLimits {
  /** For messages. */
  readonly expected: string;
  readonly mostBytes: number;
}

const MEGABYTE = 1_000_000;

/** What stands where a file is expected; null for a regular file. */
function wrongKind(status: Stats): string | null {
  if (status.isFile()) return null;
  if (status.isDirectory()) return 'this is a folder';
  return status.isFIFO() ? 'this is a pipe' : 'this is a device or a socket';
}

/**
 * Opens a regular file: never one that may keep a reader waiting, such as a pipe or a device.
 *
 * @throws InputError where it isn't there, can't be read, is no regular file, or is longer than the limit
 */
export async function openRegularFile(path: string, { expected, mostBytes }: FileLimits): Promise<OpenFile> {
  let handle: FileHandle;
  try {
    // Without O_NONBLOCK, opening a pipe waits for somebody to write into it. Windows has no such flag.
    handle = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  } catch (error) {
    throw new InputError(path, systemFault(error), expected);
  }
  try {
    const status = await handle.stat();
    const wrong = wrongKind(status);
    if (wrong !== null) throw new InputError(path, wrong, expected);
    if (status.size > mostBytes) {
      throw new InputError(
        path,
        `the file is ${Math.ceil(status.size / MEGABYTE)} MB long`,
        `at most ${Math.floor(mostBytes / MEGABYTE)} MB`,
      );
    }
    return { handle, size: status.size };
  } catch (error) {
    await handle.close();
    throw error;
  }
}

/**
 * The bytes of an open file, as many as it had when it was opened: one that grows meanwhile is read no further.
 *
 * @throws InputError where they can't be read
 */
export async function readOpenFile(path: string, { handle, size }: OpenFile): Promise<Buffer> {
  const bytes = Buffer.allocUnsafe(size);
  let at = 0;
  try {
    while (at < size) {
      const { bytesRead } = await handle.read(bytes, at, size - at, at);
      if (bytesRead === 0) break;
      at += bytesRead;
    }
  } catch (error) {
    throw new InputError(path, systemFault(error));
  }
  return bytes.subarray(0, at);
}

/** A regular file whole, as {@link openRegularFile} and {@link readOpenFile} give it. */
export async function readRegularFile(path: string, limits: FileLimits): Promise<Buffer> {
  const file = await openRegularFile(path, limits);
  try {
    return await readOpenFile(path, file);
  } finally {
    await file.handle.close();
  }
}
