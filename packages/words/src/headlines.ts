import type { Comparison, Preview, Result } from '@twolamp/session';
import { overallAnswer, resolvingChangeAnswer, scaleAnswer, tubesChangeAnswer } from './comparison.js';
import { lightAnswer } from './light.js';
import { detailAnswer, exposureAnswer } from './preview.js';
import { repairAnswer } from './repairs.js';
import { resolvingAnswer } from './resolving.js';
import { finishingAnswer } from './finishing.js';
import { tubesAnswer } from './tubes.js';
import { tubesOnly } from './tubes-only.js';

/** The page's answers in a sentence each: how fine it sees, which tubes need work, what repairing brings, how much light it passes. */
export function headlines(result: Result): string[] {
  const tubes = tubesOnly(result);
  const finishing = finishingAnswer(result);
  return [
    ...[resolvingAnswer, tubesAnswer, repairAnswer, lightAnswer].flatMap(
      (answer) => answer(tubes)?.headline ?? [],
    ),
    ...(finishing ? [finishing.headline] : []),
  ];
}

/** The comparison page's answers in a sentence each: better or not, how fine it sees, which tubes changed, how much light it passes. */
export function comparisonHeadlines(comparison: Comparison, earlier: Result, later: Result): string[] {
  return [
    overallAnswer(comparison),
    resolvingChangeAnswer(comparison, earlier, later),
    tubesChangeAnswer(comparison),
    scaleAnswer(comparison),
  ].map(({ headline }) => headline);
}

/** The preview page's answers in a sentence each: how much of the scene's detail is left, how long to expose. */
export function previewHeadlines(preview: Preview): string[] {
  return [detailAnswer(preview), exposureAnswer(preview)].map(({ headline }) => headline);
}
