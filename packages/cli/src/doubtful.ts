/** Ends a verb that did all it was asked for, where what is stated and what is seen disagree; all is said by then. */
export class Doubtful extends Error {
  override readonly name = 'Doubtful';
}
