import type { Evidence, PairResult, Result } from '@twolamp/session';
import { decimal, lengthM, ratioDecimals } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { colourAt, LAMPLIGHT } from '../maps/colour-scale.js';

type Profile = Evidence['profiles'][number];

interface Strip {
  readonly pair: PairResult;
  readonly profile: Profile;
}

const WIDTH = 200;
const HEIGHT = 26;
const STEP = 34;
/** Room for “860 mm” and “0.227 not separate” at the size of the text. */
const LABEL = 72;
const VERDICT = 166;

/** One shot a distance, nearest first: the one whose dip is the median of its distance. */
export function lampStrips(result: Result, evidence: Evidence): Strip[] {
  const byPhoto = new Map(evidence.profiles.map((profile) => [profile.photo, profile]));
  const byDistance = new Map<number, Strip[]>();
  for (const pair of result.pairs) {
    const profile = byPhoto.get(pair.photo);
    if (profile === undefined || pair.dip === null) continue;
    byDistance.set(pair.distanceM, [...(byDistance.get(pair.distanceM) ?? []), { pair, profile }]);
  }
  return [...byDistance]
    .sort(([a], [b]) => a - b)
    .map(([, strips]) => {
      const sorted = strips.sort((a, b) => a.pair.dip! - b.pair.dip!);
      return sorted[Math.floor((sorted.length - 1) / 2)]!;
    });
}

function stops({ offsetCells, measured }: Profile, half: number): SafeHtml[] {
  const top = Math.max(...measured);
  return offsetCells.map((offset, i) => {
    const share = (offset + half) / (2 * half);
    return html`<stop offset="${share.toFixed(4)}" stop-color="${colourAt(LAMPLIGHT, measured[i]! / top)}"/>`;
  });
}

/** The light of the two lamps along their line, a strip a distance: what the sheet shows as the lamps move away. */
export function lampStripsFigure(result: Result, evidence: Evidence | null): SafeHtml | null {
  if (evidence === null) return null;
  const strips = lampStrips(result, evidence);
  if (strips.length < 2) return null;
  const half = Math.max(...strips.flatMap(({ profile }) => profile.offsetCells.map(Math.abs)));
  const height = strips.length * STEP;
  const alt = `Light of the two lamps along their line at ${strips.length} distances: ${strips
    .map(({ pair }) => `${lengthM(pair.distanceM)} dip ${dipNumber(pair)}, ${verdict(pair)}`)
    .join(', ')}.`;
  return html`<figure class="strips"><svg viewBox="0 0 ${LABEL + WIDTH + VERDICT} ${height}" role="img" aria-label="${alt}">${strips.map(
    ({ pair, profile }, i) => {
      const y = i * STEP + (STEP - HEIGHT) / 2;
      const middle = y + HEIGHT / 2 + 5;
      return html`<linearGradient id="strip-${i}">${stops(profile, half)}</linearGradient><text x="${LABEL - 10}" y="${middle}" text-anchor="end">${lengthM(pair.distanceM)}</text><rect x="${LABEL}" y="${y}" width="${WIDTH}" height="${HEIGHT}" rx="3" fill="url(#strip-${i})"/><text x="${LABEL + WIDTH + 10}" y="${middle}" class="${pair.separate ? 'two' : 'one'}">${dipNumber(pair)} ${verdict(pair)}</text>`;
    },
  )}</svg><figcaption>What the sheet shows of two lamps ${lengthM(strips[0]!.pair.spacingM)} apart as they move away: light along their line, one shot a distance, with its dip.${criterionNote(result)}</figcaption></figure>`;
}

function verdict(pair: PairResult): string {
  if (pair.separate === null) return 'undecided';
  return pair.separate ? 'separate' : 'not separate';
}

/** The dip with as many digits as its uncertainty justifies, as it stands in the list of shots. */
function dipNumber({ dip, dipUncertainty }: PairResult): string {
  return dip === null ? '' : decimal(dip, dipUncertainty === null ? 2 : ratioDecimals(dipUncertainty));
}

/** Why two peaks that can be seen may still count as not separate. */
function criterionNote({ resolving }: Result): string {
  return resolving === null ? '' : ` They count as separate from a dip of ${resolving.requiredDip} on.`;
}
