import { basename, dirname, join, resolve } from 'node:path';
import { localDay, type PageSource } from '@twolamp/report';

/** Folder of a session's results, unless told otherwise. */
export const RESULTS_FOLDER = 'measured';

/** A file with the folder it lies in; in the folder of a session's results also the session's, since all sessions have one. */
function nameOf(file: string): string {
  const folder = dirname(file);
  const within = join(basename(folder), basename(file));
  return basename(folder) === RESULTS_FOLDER ? join(basename(dirname(folder)), within) : within;
}

/** What the foot of a page says of the files it was made from, and today's date. */
export function pageSource(...files: readonly string[]): PageSource {
  return {
    files: files.map((file) => nameOf(resolve(file))),
    writtenOn: localDay(new Date()),
  };
}
