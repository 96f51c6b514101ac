import type { AnyFinding } from '@twolamp/session';
import { findingSentence } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';

/** Parts of a result, a comparison or a preview, as headings. */
const PARTS = new Map(
  Object.entries({
    array: 'Array',
    photos: 'Photos',
    tubes: 'Tubes',
    scale: 'Light',
    faults: 'Faults',
    pull: 'Pull list',
    wall: 'Tube walls',
    pairs: 'Pair shots',
    resolving: 'Resolving distance',
    pointing: 'Pointing',
    acceptance: 'Acceptance',
    crosstalk: 'Crosstalk',
    transmission: 'Transmission',
    'transmission.relative': 'Relative transmission',
    'transmission.absolute': 'Absolute transmission',
    repaired: 'Repaired array',
    scene: 'Scene',
    similarity: 'Similarity',
    exposure: 'Exposure',
  }),
);

/** Findings under what each is about, a photo's name where it is a photo; null for none. */
export function findingList(findings: readonly AnyFinding[]): SafeHtml | null {
  if (findings.length === 0) return null;
  const abouts = [...new Set(findings.map(({ about }) => about))];
  return html`<dl class="findings">${abouts.map(
    (about) =>
      html`<dt>${PARTS.get(about) ?? about}</dt>${findings
        .filter((one) => one.about === about)
        .map((one) => html`<dd>${findingSentence(one)}</dd>`)}`,
  )}</dl>`;
}
