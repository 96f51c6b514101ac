import type { Answer } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';

/** A question with its answer: the headline and what goes with it. */
export function answerText(question: string, { headline, details }: Answer): SafeHtml {
  return html`<h2>${question}</h2><p class="headline">${headline}</p>${details.map((detail) => html`<p>${detail}</p>`)}`;
}
