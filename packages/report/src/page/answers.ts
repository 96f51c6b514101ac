import type { Evidence, Result } from '@twolamp/session';
import {
  doubts,
  finishingAnswer,
  FIRST_TO_PULL,
  lightAnswer,
  missingFigures,
  type RealFault,
  resolvingAnswer,
  tubesAnswer,
} from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { markIcon } from '../maps/marks.js';
import { lampStripsFigure } from './lamp-strips.js';
import { repairSection } from './repair-section.js';
import { answerText } from './answer-text.js';
import { doubtSection } from './doubt-section.js';
import { tubeButton } from './tube-button.js';

function firstToPull(result: Result): SafeHtml | null {
  const first = result.pull.slice(0, FIRST_TO_PULL);
  if (first.length === 0) return null;
  return html`<ol class="first">${first.map(
    ({ fault, ...tube }) =>
      html`<li>${tubeButton(tube)} ${fault === 'none' ? null : markIcon(fault as RealFault)} ${fault}</li>`,
  )}</ol>`;
}

/** The first screen: the builder's questions, answered in sentences, and what stayed unmeasured. */
export function answersSection(result: Result, evidence: Evidence | null): SafeHtml {
  const missing = missingFigures(result);
  const unmeasured =
    missing.length === 0
      ? null
      : html`<section class="unmeasured" aria-labelledby="unmeasured"><h2 id="unmeasured">Could not be measured</h2><dl>${missing.map(
          ({ title, says }) => html`<dt>${title}</dt><dd>${says.join(' ')}</dd>`,
        )}</dl></section>`;
  const finishing = finishingAnswer(result);
  const strips = lampStripsFigure(result, evidence);
  // Doubts that the first answer doesn't lead with already.
  const doubted = result.resolving?.doubtful === true ? [] : doubts(result);
  return html`<div class="answers">
${doubtSection(doubted)}
<section class="answer lead ${strips === null ? 'alone' : ''}"><div>${answerText('How fine does it see?', resolvingAnswer(result))}</div>${strips}</section>
<section class="answer">${answerText('Which tubes need work?', tubesAnswer(result))}${firstToPull(result)}</section>
${repairSection(result)}
<section class="answer">${answerText('How much light does it pass?', lightAnswer(result))}</section>
${finishing === null ? null : html`<section class="answer">${answerText('What would finishing it bring?', finishing)}</section>`}
${unmeasured}
</div>`;
}
