import { finding, type LinearPhoto, type Preview, type PreviewFinding, type Result } from '@twolamp/session';
import type { Scene } from './scene.js';
import type { Sights } from './sights.js';

/** Share of clipped pixels from which a scene's lights are clearly cut. Common practice, no source. */
const CLIPPED = 0.001;

/** What the result leaves open, and what the preview takes instead. */
export function resultFindings({ cells, crosstalk, pull }: Result): PreviewFinding[] {
  const findings: PreviewFinding[] = [];
  const unknown = cells.filter(({ seen, transmission }) => seen && transmission.relative === null).length;
  if (unknown > 0) {
    findings.push(finding('light-filled-in', 'transmission', { unknown, tubes: cells.length }));
  }
  if (crosstalk === null) findings.push(finding('crosstalk-left-out', 'crosstalk', {}));
  if (pull.length === 0) findings.push(finding('nothing-to-pull', 'repaired', {}));
  return findings;
}

/** What part of the scene typical tubes see: between the middles of the outer ones' views, from the scene's middle. */
export function fieldOf({ distanceMm }: Scene, { typical }: Sights): Preview['scene']['field'] {
  const across = typical.map((sight) => sight.frontAcrossMm + distanceMm * sight.slopeAcross);
  const up = typical.map((sight) => sight.frontUpMm + distanceMm * sight.slopeUp);
  const least = (places: readonly number[]) => places.reduce((a, b) => Math.min(a, b)) / 1000;
  const most = (places: readonly number[]) => places.reduce((a, b) => Math.max(a, b)) / 1000;
  return { leftM: least(across), rightM: most(across), bottomM: least(up), topM: most(up) };
}

/** What part of the scene is seen, and what of it can't be shown as it is. */
export function sceneFindings(
  photo: LinearPhoto,
  { leftM, rightM, bottomM, topM }: Preview['scene']['field'],
  looksInside: Uint8Array,
): PreviewFinding[] {
  const size = { widthM: rightM - leftM, heightM: topM - bottomM };
  const findings: PreviewFinding[] = [finding('field-of-view', 'scene', size)];
  const beside = looksInside.filter((inside) => inside === 0).length;
  if (beside > 0) {
    findings.push(finding('tubes-look-past-scene', 'scene', { beside, tubes: looksInside.length }));
  }
  const share = photo.clipped.reduce((sum, one) => sum + one, 0) / photo.clipped.length;
  if (share >= CLIPPED) findings.push(finding('scene-clipped', 'scene', { share }));
  return findings;
}
