import { InputError } from '@twolamp/session';

/**
 * A decoder's complaint in words for the person whose photo it is. The decoder's own are left out: they are a programmer's, and
 * where several threads decode at once they may be another photo's.
 *
 * @param path - the photo
 */
export function damaged(path: string): InputError {
  return new InputError(path, 'the picture is damaged or cut off', 'the whole file, copied again');
}
