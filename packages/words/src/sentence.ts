/** One of the page's answers: a sentence that says it, and sentences that back it. */
export interface Answer {
  readonly headline: string;
  readonly details: readonly string[];
}
