import { dirname, join } from 'node:path';
import { type Evidence, InputError, type Result, readEvidence, readResult } from '@twolamp/session';
import { clearAbandoned } from './draft-folder.js';
import { exists, fileIn } from './existing.js';
import { readTextFile } from './text-file.js';
import { RESULTS_FOLDER } from '../page-source.js';

/** A result, and the evidence of the page that lies beside it; null where there is none. */
export interface OpenResult {
  /** result.json itself. */
  readonly file: string;
  readonly result: Result;
  readonly evidence: Evidence | null;
}

/**
 * Opens a result of light pipes, see {@link openResult}.
 * @throws InputError also where it is one of a cell screen behind a lens
 */
export async function openPipes(path: string): Promise<OpenResult> {
  const open = await openResult(path);
  if (open.result.array.kind !== 'cell-screen') return open;
  throw new InputError(
    open.file,
    'a cell screen behind a lens, whose cells have no pointing and whose array has no resolving distance',
    'the result of an array of light pipes',
  );
}

/** A run that was killed while it put its files in place is finished first, so that they belong together. */
function finishInterrupted(folder: string): void {
  try {
    clearAbandoned(folder);
  } catch {
    // A folder that can only be read can't be finished; what lies there is read as it is.
  }
}

/**
 * Reads a result.json, and evidence.json from the same folder.
 * @param path - result.json, the folder that holds it, or the session's folder
 * @throws InputError where one of them is at fault
 */
export async function openResult(path: string): Promise<OpenResult> {
  const file = await fileIn(path, 'result.json', join(RESULTS_FOLDER, 'result.json'));
  finishInterrupted(dirname(file));
  const result = readResult(await readTextFile(file, 'a result.json'), file);
  const beside = join(dirname(file), 'evidence.json');
  const evidence = (await exists(beside))
    ? readEvidence(await readTextFile(beside, 'an evidence.json'), beside)
    : null;
  return { file, result, evidence };
}
