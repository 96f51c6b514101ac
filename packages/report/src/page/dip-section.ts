import type { Evidence, PairResult, Result } from '@twolamp/session';
import {
  distanceText,
  lengthM,
  measuredDistance,
  predictedText,
  ratioPlusMinus,
  trimmed,
} from '@twolamp/words';
import { chartPlace } from '../charts/chart.js';
import { dipChartAlt } from '../charts/dip-chart.js';
import { html, type SafeHtml } from '../html/html.js';

/** The shot whose dip is nearest to what the criterion asks: the one that decides. */
export function decidingPhoto(result: Result, photos: readonly string[]): string | undefined {
  const required = result.resolving?.requiredDip ?? 0;
  const off = ({ dip }: PairResult) => (dip === null ? Number.POSITIVE_INFINITY : Math.abs(dip - required));
  return result.pairs.filter(({ photo }) => photos.includes(photo)).sort((a, b) => off(a) - off(b))[0]?.photo;
}

/** Measured and predicted resolving distance, side by side. */
function besideTheory({ resolving }: Result): SafeHtml | null {
  if (resolving === null) return null;
  const predicted = predictedText(resolving) ?? 'not predicted';
  return html`<dl class="beside"><div><dt>Resolving distance, measured</dt><dd>${distanceText(measuredDistance(resolving))}</dd></div><div><dt>Predicted for faultless tubes</dt><dd>${predicted}</dd></div></dl>`;
}

function shotWords(pair: PairResult): string {
  const dip = pair.dip === null ? 'no dip found' : `dip ${ratioPlusMinus(pair.dip, pair.dipUncertainty)}`;
  const turned = pair.turnedDeg === 0 ? '' : `, turned ${trimmed(pair.turnedDeg)}°`;
  return `${pair.photo}: ${lengthM(pair.distanceM)}${turned}, ${dip}`;
}

function profilePicker(result: Result, evidence: Evidence | null): SafeHtml | null {
  const photos = evidence?.profiles.map(({ photo }) => photo) ?? [];
  const pairs = result.pairs.filter(({ photo }) => photos.includes(photo));
  if (pairs.length === 0) return null;
  const first = decidingPhoto(result, photos);
  return html`<h3>Light along the line of the lamps</h3><p class="before-chart"><label>Shot <select id="profile">${pairs.map(
    (pair) =>
      pair.photo === first
        ? html`<option value="${pair.photo}" selected>${shotWords(pair)}</option>`
        : html`<option value="${pair.photo}">${shotWords(pair)}</option>`,
  )}</select></label></p>${chartPlace('profile-chart', 'Light along the line of the lamps in the chosen shot, measured and as fitted.')}`;
}

/** Dip against distance with what it was read from. */
export function dipSection(result: Result, evidence: Evidence | null): SafeHtml {
  return html`${chartPlace('dip-chart', dipChartAlt(result))}${besideTheory(result)}${profilePicker(result, evidence)}`;
}
