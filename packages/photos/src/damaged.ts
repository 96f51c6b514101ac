import { InputError } from '@twolamp/session';

/** What decoders say when they don't know either. */
const NO_REASON = /unknown error/i;

/**
 * A decoder's complaint in words for the person whose photo it is.
 *
 * @param path - the photo
 * @param error - what the decoder threw
 */
export function damaged(path: string, error: unknown): InputError {
  const reason = (error instanceof Error ? error.message : String(error)).split('\n')[0]!;
  const known = reason === '' || NO_REASON.test(reason) ? '' : ` (${reason})`;
  return new InputError(path, `the picture is damaged or cut off${known}`, 'the whole file, copied again');
}
