import { InputError, readSession, type Session } from '@twolamp/session';
import { type AsyncZippable, unzip, zip } from 'fflate';

/** A file with its path inside a folder, `/` between its parts. */
export interface FolderFile {
  readonly path: string;
  readonly blob: Blob;
}

/** A session's folder, read. */
export interface ReadFolder {
  readonly session: Session;
  /** The photos that are there, by the names the session gives them. */
  readonly photos: ReadonlyMap<string, Blob>;
}

const SESSION_FILE = 'session.yaml';
/** Photos are compressed already: they are stored as they are. */
const STORED = { level: 0 } as const;

async function bytesOf(blob: Blob): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await blob.arrayBuffer());
}

/** Files as one zip. */
export async function zipOf(files: readonly FolderFile[]): Promise<Blob> {
  const entries: AsyncZippable = {};
  for (const { path, blob } of files) entries[path] = [await bytesOf(blob), STORED];
  return new Promise((resolve, reject) => {
    zip(entries, (error, data) =>
      error
        ? reject(error)
        : resolve(new Blob([data as Uint8Array<ArrayBuffer>], { type: 'application/zip' })),
    );
  });
}

/**
 * The files of a zip.
 * @throws InputError where it can't be read
 */
export async function filesOfZip(name: string, blob: Blob): Promise<FolderFile[]> {
  const bytes = await bytesOf(blob);
  return new Promise((resolve, reject) => {
    unzip(bytes, (error, entries) => {
      if (error) {
        reject(
          new InputError(name, `the zip can’t be read (${error.message})`, 'the whole file, copied again'),
        );
        return;
      }
      resolve(
        Object.entries(entries)
          .filter(([path]) => !path.endsWith('/'))
          .map(([path, data]) => ({ path, blob: new Blob([data as Uint8Array<ArrayBuffer>]) })),
      );
    });
  });
}

/** The session file that lies least deep: others may be copies inside the folder. */
function sessionFile(files: readonly FolderFile[]): FolderFile | undefined {
  const depth = ({ path }: FolderFile) => path.split('/').length;
  return files
    .filter(({ path }) => path === SESSION_FILE || path.endsWith(`/${SESSION_FILE}`))
    .sort((a, b) => depth(a) - depth(b))[0];
}

export const holdsSession = (files: readonly FolderFile[]): boolean => sessionFile(files) !== undefined;

/**
 * Reads a session's folder; photos that its session names may be missing.
 * @throws InputError where there is no session.yaml, or it can't be read
 */
export async function readFolder(files: readonly FolderFile[]): Promise<ReadFolder> {
  const file = sessionFile(files);
  if (file === undefined) {
    throw new InputError(
      'the folder',
      'there is no session.yaml in it',
      'a folder that twolamp or this page wrote',
    );
  }
  const session = readSession(await file.blob.text(), file.path);
  const base = file.path.slice(0, -SESSION_FILE.length);
  const byPath = new Map(files.map(({ path, blob }) => [path, blob]));
  const photos = new Map<string, Blob>();
  for (const { photo } of session.shots) {
    const blob = byPath.get(`${base}${photo.replaceAll('\\', '/')}`);
    if (blob !== undefined) photos.set(photo, blob);
  }
  return { session, photos };
}
