import { dirname, join } from 'node:path';
import { type Evidence, type Result, readEvidence, readResult } from '@twolamp/session';
import { exists } from './existing.js';
import { readTextFile } from './text-file.js';

/** A result, and the evidence of the page that lies beside it; null where there is none. */
export interface OpenResult {
  readonly result: Result;
  readonly evidence: Evidence | null;
}

/**
 * Reads a result.json, and evidence.json from the same folder.
 * @throws InputError where one of them is at fault
 */
export async function openResult(file: string): Promise<OpenResult> {
  const result = readResult(await readTextFile(file, 'a result.json'), file);
  const beside = join(dirname(file), 'evidence.json');
  const evidence = (await exists(beside))
    ? readEvidence(await readTextFile(beside, 'an evidence.json'), beside)
    : null;
  return { result, evidence };
}
