import type { CellResult } from '@twolamp/session';
import { FAULT_MARK, FAULT_MEANING, REAL_FAULTS, type RealFault } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';

/** The faults' marks, defined once a page and used by maps, legends and tables. */
export function markDefinitions(): SafeHtml {
  return html`<svg class="defs" aria-hidden="true" width="0" height="0">${REAL_FAULTS.map(
    (fault) =>
      html`<symbol id="mark-${fault}" viewBox="-1 -1 2 2" overflow="visible"><path class="halo" d="${FAULT_MARK[fault]}"/><path class="mark" d="${FAULT_MARK[fault]}"/></symbol>`,
  )}</svg>`;
}

export function markIcon(fault: RealFault): SafeHtml {
  return html`<svg class="icon" viewBox="-1 -1 2 2" aria-hidden="true"><use href="#mark-${fault}" x="-1" y="-1" width="2" height="2"/></svg>`;
}

/**
 * How far a cell's mark is turned, degrees clockwise: the misaimed mark, drawn to the right and up, points where the
 * tube looks.
 */
export function markTurnDeg({ fault, cureShiftMm }: Pick<CellResult, 'fault' | 'cureShiftMm'>): number {
  if (fault !== 'misaimed' || cureShiftMm === null) return 0;
  // It looks where its front end must not stay.
  return 45 - (Math.atan2(-cureShiftMm.up, -cureShiftMm.across) * 180) / Math.PI;
}

/** Marks with their meaning, for the faults that occur. */
export function markLegend(faults: readonly RealFault[]): SafeHtml | null {
  if (faults.length === 0) return null;
  return html`<ul class="legend">${faults.map(
    (fault) => html`<li>${markIcon(fault)}<b>${fault}</b> ${FAULT_MEANING[fault]}</li>`,
  )}</ul>`;
}
