import { InputError } from '@twolamp/session';

/**
 * A decoder's complaint in words for the person whose photo it is.
 *
 * @param path - the photo
 * @param error - what the decoder threw
 */
export function damaged(path: string, error: unknown): InputError {
  const reason = (error instanceof Error ? error.message : String(error)).split('\n')[0];
  return new InputError(
    path,
    `the picture is damaged or cut off (${reason})`,
    'the whole file, copied again',
  );
}
