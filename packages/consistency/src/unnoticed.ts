import { bisect } from '@twolamp/numeric';
import { kindsOf, lengthPenalty, offset, scaled } from './hypotheses.js';
import type { Statement } from './statement.js';
import { MISTAKES, SEARCH } from './tuning.js';

/** Errors of all distances at once that the photos would not show. */
export interface UnnoticedErrors {
  /** By what share all of them could be shorter, or longer, than stated; at most half, or twice as long. */
  readonly shorterShare: number;
  readonly longerShare: number;
  /** Whether they could be from the sheet in place of the tubes' front ends. */
  readonly fromSheet: boolean;
}

/**
 * How far all distances could be off before the photos speak against them by as much as a mistake needs to be named.
 *
 * @param costOf - how badly a statement fits the photos
 */
export function unnoticedErrors(statement: Statement, costOf: (one: Statement) => number): UnnoticedErrors {
  const named = costOf(statement) + SEARCH.leastGain;
  const isUnnoticed = (ln: number) =>
    costOf(scaled(statement, 'distance', Math.exp(ln))) < named + lengthPenalty(ln);
  const edge = (sign: 1 | -1): number =>
    bisect((ln) => isUnnoticed(sign * ln), 0, Math.LN2, SEARCH.unnoticedHalvings).low;
  const [kinds] = kindsOf(statement);
  const fromSheet = kinds ? offset(statement, kinds, -statement.array.tubeLengthMm) : null;
  return {
    shorterShare: -Math.expm1(-edge(-1)),
    longerShare: Math.expm1(edge(1)),
    fromSheet: fromSheet !== null && costOf(fromSheet) < named + MISTAKES.penalty.fromSheet,
  };
}
