import { readRegularFile } from '@twolamp/photos/regular-file';
import { InputError } from '@twolamp/session/errors';

/** Longest text file that is read: a result of 250,000 cells. */
const MOST_BYTES = 256_000_000;

/**
 * The text of a file that a person named; a byte-order mark is no part of it.
 * @param expected - what the file should be, for the message
 * @throws InputError where it can't be read, or isn't text in UTF-8
 */
export async function readTextFile(path: string, expected: string): Promise<string> {
  const bytes = await readRegularFile(path, { expected, mostBytes: MOST_BYTES });
  if (isUtf16(bytes)) throw new InputError(path, 'the file is saved as UTF-16', 'text saved as UTF-8');
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError(path, 'the file is no text in UTF-8', 'text saved as UTF-8');
  }
}

/** By its byte-order mark (Unicode 15, section 23.8). */
function isUtf16(bytes: Uint8Array): boolean {
  return (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
}
