import type { Note, Result } from '@twolamp/session';
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

/** What part of the scene is seen, and what of it can't be shown as it is. */
export function sceneNotes(
  { photo, distanceMm }: Scene,
  { typical }: Sights,
  looksInside: Uint8Array,
): Note[] {
  const across = extentM(typical.map((sight) => sight.frontAcrossMm + distanceMm * sight.slopeAcross));
  const up = extentM(typical.map((sight) => sight.frontUpMm + distanceMm * sight.slopeUp));
  const notes = [{ about: 'scene', says: `the tubes look at a field of ${across} m × ${up} m there` }];
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

function extentM(placesMm: readonly number[]): string {
  const low = placesMm.reduce((a, b) => Math.min(a, b));
  const high = placesMm.reduce((a, b) => Math.max(a, b));
  return ((high - low) / 1000).toFixed(2);
}
