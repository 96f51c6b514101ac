/**
 * The input is at fault, and the message says what to mend.
 *
 * Every package throws this for what a person gave us (a session file, a photo, an option); a fault in a call
 * between our own functions throws RangeError or TypeError instead.
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
    super(expected === undefined ? `${where}: ${found}` : `${where}: ${found}; expected ${expected}`);
    this.where = where;
  }
}
