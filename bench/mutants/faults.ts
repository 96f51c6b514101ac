import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** A wrong edit. */
export interface DrawnFault {
  readonly fault: string;
  readonly file: string;
  /** Text that stands in the file once, and what stands there instead. */
  readonly find: string;
  readonly replace: string;
}

/** A wrong edit that once went unnoticed, and the test that notices it now. */
export interface KnownFault extends DrawnFault {
  readonly test: string;
  /** Part of the test's name. */
  readonly name: string;
  /** Whether the test takes seconds only. */
  readonly quick: boolean;
}

/** A list beside this file, or beside the folder that it was built into. */
export function readFaults(list: string): KnownFault[] {
  const places = [list, `../../mutants/${list}`].map((path) => fileURLToPath(new URL(path, import.meta.url)));
  return JSON.parse(readFileSync(places.find((path) => existsSync(path))!, 'utf8'));
}
