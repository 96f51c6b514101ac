import {
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { InputError } from '@twolamp/session/errors';
import { isAtWork, type RunOwner, thisRun } from './run-owner.js';

/** Inside the output folder: files on their way into it, and whose they are. It is the lock as well. */
const DRAFT = '.twolamp-writing';
const FILES = 'files';
const REPLACED = 'replaced';
const OWNER = 'owner.json';
/** Mark: all files are written in full; whoever finds it puts them in their places. */
const READY = 'ready';
/** A draft without an owner is being made, unless it is this old. */
const UNOWNED_MS = 10_000;
/** Files that other verbs read are put in place last. */
const LAST = ['preview.json', 'compare.json', 'session.yaml', 'truth.json', 'result.json'];

/** A folder that files are written into before all of them are put in place at once. */
export interface DraftFolder {
  /** To write the files into. */
  readonly files: string;
  /** Puts every file in its place, or none. */
  readonly commit: () => void;
  /** Leaves everything as it was. */
  readonly discard: () => void;
}

function ownerOf(draft: string): RunOwner | null {
  try {
    return JSON.parse(readFileSync(join(draft, OWNER), 'utf8')) as RunOwner;
  } catch {
    return null;
  }
}

function isAbandoned(draft: string): boolean {
  const owner = ownerOf(draft);
  if (owner !== null) return !isAtWork(owner);
  const status = statSync(draft, { throwIfNoEntry: false });
  return status !== undefined && Date.now() - status.mtimeMs > UNOWNED_MS;
}

function inOrder(names: readonly string[]): string[] {
  return [...names].sort((a, b) => LAST.indexOf(a) - LAST.indexOf(b) || (a < b ? -1 : 1));
}

function moveIfThere(from: string, to: string): boolean {
  try {
    renameSync(from, to);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return false;
    throw error;
  }
}

/** Puts a draft's files in their places, and the old ones back where one can't be replaced. */
function putInPlace(draft: string, folder: string): void {
  const taken: string[] = [];
  const placed: string[] = [];
  mkdirSync(join(draft, REPLACED), { recursive: true });
  try {
    for (const name of inOrder(readdirSync(join(draft, FILES)))) {
      if (moveIfThere(join(folder, name), join(draft, REPLACED, name))) taken.push(name);
      renameSync(join(draft, FILES, name), join(folder, name));
      placed.push(name);
    }
  } catch (error) {
    for (const name of placed) renameSync(join(folder, name), join(draft, FILES, name));
    for (const name of taken) renameSync(join(draft, REPLACED, name), join(folder, name));
    throw error;
  }
}

/**
 * Clears away what a killed run left in a folder: files that were written in full are put in place, others removed.
 * What a run that is still at work has there stays.
 */
export function clearAbandoned(folder: string): void {
  const draft = join(folder, DRAFT);
  if (!existsSync(draft) || !isAbandoned(draft)) return;
  if (existsSync(join(draft, READY))) putInPlace(draft, folder);
  rmSync(draft, { recursive: true, force: true });
}

/** @throws InputError where something that can't be replaced by a file has one of the names */
function requireFilesFor(folder: string, names: readonly string[]): void {
  for (const name of names) {
    if (lstatSync(join(folder, name), { throwIfNoEntry: false })?.isDirectory()) {
      throw new InputError(
        join(folder, name),
        'this is a folder',
        'it elsewhere: a file of this name is written',
      );
    }
  }
}

/** Makes the folder and those above it; the topmost that was not there, or undefined. */
function makeFolder(folder: string): string | undefined {
  const status = statSync(folder, { throwIfNoEntry: false });
  if (status !== undefined && !status.isDirectory()) {
    throw new InputError(folder, 'this is a file', 'a folder to write into');
  }
  return mkdirSync(folder, { recursive: true });
}

/** Removes the folders that were made, as far as they are empty. */
function unmakeFolders(folder: string, topmost: string | undefined): void {
  if (topmost === undefined) return;
  try {
    for (let one = folder; one.length >= topmost.length; one = dirname(one)) rmdirSync(one);
  } catch {
    // somebody put something there meanwhile
  }
}

/**
 * Makes ready to write into a folder, and tries it: the folder is made, and a draft in it that no second run can have.
 *
 * @param names - of the files to come, as far as they are known
 * @throws InputError where another run is writing there, or one of the names is a folder's; the system's error where the
 *   folder can't be written into
 */
export function openDraft(folder: string, names: readonly string[]): DraftFolder {
  const topmost = makeFolder(folder);
  const draft = join(folder, DRAFT);
  try {
    clearAbandoned(folder);
    requireFilesFor(folder, names);
    mkdirSync(draft);
  } catch (error) {
    unmakeFolders(folder, topmost);
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
    const pid = ownerOf(draft)?.pid;
    throw new InputError(
      folder,
      `another run${pid === undefined ? '' : ` (process ${pid})`} is writing into this folder`,
      'it to end first, or another folder by --out',
    );
  }
  const discard = () => {
    rmSync(draft, { recursive: true, force: true });
    unmakeFolders(folder, topmost);
  };
  try {
    writeFileSync(join(draft, OWNER), JSON.stringify(thisRun()));
    mkdirSync(join(draft, FILES));
  } catch (error) {
    discard();
    throw error;
  }
  return {
    files: join(draft, FILES),
    commit: () => {
      requireFilesFor(folder, readdirSync(join(draft, FILES)));
      writeFileSync(join(draft, READY), '');
      putInPlace(draft, folder);
      rmSync(draft, { recursive: true, force: true });
    },
    discard,
  };
}
