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

/** A wrong edit, and the test that notices it. */
export interface KnownFault extends DrawnFault {
  /** Null where none does, since nothing that a person reads changes by more than its uncertainty. */
  readonly test: string | null;
  /** Part of the test's name. */
  readonly name: string | null;
  /** Whether the test takes seconds only. */
  readonly quick: boolean;
}

/** A list beside this file, or beside the folder that it was built into. */
export function readFaults(list: string): KnownFault[] {
  const places = [list, `../../mutants/${list}`].map((path) => fileURLToPath(new URL(path, import.meta.url)));
  return JSON.parse(readFileSync(places.find((path) => existsSync(path))!, 'utf8'));
}
