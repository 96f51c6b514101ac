import type { Result } from '@twolamp/session';
import { lightAnswer } from './light.js';
import { resolvingAnswer } from './resolving.js';
import { tubesAnswer } from './tubes.js';

/** The page's three answers in a sentence each: how fine it sees, which tubes need work, how much light it passes. */
export function headlines(result: Result): string[] {
  return [resolvingAnswer, tubesAnswer, lightAnswer].map((answer) => answer(result).headline);
}
