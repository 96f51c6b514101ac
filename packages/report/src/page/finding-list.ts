import type { AnyFinding } from '@twolamp/session';
import { html, type SafeHtml } from '../html/html.js';
import { findingSentence } from '../words/findings/index.js';

/** Findings with what each is about; null for none. */
export function findingList(findings: readonly AnyFinding[]): SafeHtml | null {
  if (findings.length === 0) return null;
  return html`<dl>${findings.map((one) => html`<dt>${one.about}</dt><dd>${findingSentence(one)}</dd>`)}</dl>`;
}
