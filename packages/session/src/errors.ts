import { printable, shortened } from './printable.js';

/** Longest part of a message that is shown whole: some lines, whatever went in. */
const LONGEST_PART = 600;
/** Longest file name with its folders that is shown whole. */
const LONGEST_PLACE = 300;

/**
 * The input is at fault, and the message says what to mend.
 *
 * Every package throws this for what a person gave us (a session file, a photo, an option); a fault in a call
 * between our own functions throws RangeError or TypeError instead. Names are cut, and control characters shown as
 * escapes, so that a file can't write on the screen.
 */
export class InputError extends Error {
  override readonly name = 'InputError';
  /** File, or file and place in it. */
  readonly where: string;

  /**
   * @param where - the file and the place in it, as the person knows it
   * @param found - what is there, as a phrase
   * @param expected - what would be right; left out where `found` says it all
   */
  constructor(where: string, found: string, expected?: string) {
    const place = printable(shortened(where, LONGEST_PLACE));
    const says = printable(shortened(found, LONGEST_PART));
    super(
      expected === undefined
        ? `${place}: ${says}`
        : `${place}: ${says}; expected ${printable(shortened(expected, LONGEST_PART))}`,
    );
    this.where = place;
  }

  /** One error that tells all of several, one a line. */
  static all([first, ...others]: readonly [InputError, ...InputError[]]): InputError {
    if (others.length > 0) first.message = [first, ...others].map(({ message }) => message).join('\n');
    return first;
  }
}
