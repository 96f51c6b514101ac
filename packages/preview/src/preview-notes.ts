import type { LinearPhoto, Note, Preview, Result } from '@twolamp/session';
import type { Scene } from './scene.js';
import type { Sights } from './sights.js';

/** Share of clipped pixels from which a scene's lights are clearly cut. Common practice, no source. */
const CLIPPED = 0.001;

/** What the result leaves open, and what the preview takes instead. */
export function resultNotes({ cells, crosstalk, pull }: Result): Note[] {
  const notes: Note[] = [];
  const unknown = cells.filter(({ seen, transmission }) => seen && transmission.relative === null).length;
  if (unknown > 0) {
    const says = `not known for ${unknown} of ${cells.length} tubes: they are taken for typical ones`;
    notes.push({ about: 'transmission', says });
  }
  if (crosstalk === null) {
    notes.push({
      about: 'crosstalk',
      says: 'not measured (no single shots): the picture is drawn without it',
    });
  }
  if (pull.length === 0) {
    const says = 'the pull list is empty: the repaired array is the array as measured';
    notes.push({ about: 'repaired', says });
  }
  return notes;
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
export function sceneNotes(
  photo: LinearPhoto,
  { leftM, rightM, bottomM, topM }: Preview['scene']['field'],
  looksInside: Uint8Array,
): Note[] {
  const size = `${(rightM - leftM).toFixed(2)} m × ${(topM - bottomM).toFixed(2)} m`;
  const notes = [{ about: 'scene', says: `the tubes look at a field of ${size} there` }];
  const beside = looksInside.filter((inside) => inside === 0).length;
  if (beside > 0) {
    const says =
      `${beside} of ${looksInside.length} tubes look mostly beyond its edges, where the preview takes all to be dark; ` +
      'they don’t count in the similarity';
    notes.push({ about: 'scene', says });
  }
  const clipped = photo.clipped.reduce((sum, one) => sum + one, 0) / photo.clipped.length;
  if (clipped >= CLIPPED) {
    const says = `${(100 * clipped).toFixed(1)} % of its pixels are clipped: lights there are brighter than the photo tells`;
    notes.push({ about: 'scene', says });
  }
  return notes;
}
