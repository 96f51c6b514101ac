import { type Document, isMap, isNode, isSeq, LineCounter, parseDocument } from 'yaml';
import { lengthText } from './write-session.js';

/** Values that would fit in place of stated ones; null where none is known. */
export interface MendedValues {
  readonly array: {
    readonly frontPitchMm: number;
    readonly backPitchMm: number;
    readonly tubeLengthMm: number;
  };
  readonly shots: readonly { readonly photo: string; readonly place: MendedPlace | null }[];
}

interface MendedPlace {
  readonly kind: 'lamp' | 'pair';
  readonly acrossMm: number;
  readonly upMm: number;
  readonly distanceMm: number;
  readonly spacingMm: number;
  readonly turnedDeg: number;
}

/** Stands where a builder has to put a number, as in a file that `begin` writes. */
const FILL_IN = '___ mm';
/** Relative difference below which a value counts as the stated one. */
const SAME = 1e-9;

const ARRAY_FIELDS = [
  ['front-pitch', 'frontPitchMm'],
  ['back-pitch', 'backPitchMm'],
  ['tube-length', 'tubeLengthMm'],
] as const;

function differs(value: number, stated: number): boolean {
  return Math.abs(value - stated) > SAME * Math.max(1, Math.abs(stated));
}

/**
 * A session file with the values that would fit; all else, comments included, stays as written.
 *
 * @param text - of a session.yaml that reads without errors
 * @param stated - the values as they are
 * @param mended - as they would fit, of the same shots
 */
export function mendSession(text: string, stated: MendedValues, mended: MendedValues): string {
  const document = parseDocument(text);
  for (const [field, name] of ARRAY_FIELDS) {
    if (differs(mended.array[name], stated.array[name])) {
      document.setIn(['array', field], lengthText(mended.array[name]));
    }
  }
  const places = new Map(stated.shots.map(({ photo, place }) => [photo, place]));
  for (const { photo, place } of mended.shots) {
    const index = shotIndex(document, photo);
    const was = places.get(photo);
    if (index === null || !was) continue;
    for (const [field, name] of placeFields(was)) {
      if (place && !differs(place[name], was[name])) continue;
      document.setIn(['shots', index, field], place ? lengthText(place[name]) : FILL_IN);
    }
    if (place && was.kind === 'pair' && differs(place.turnedDeg, was.turnedDeg)) {
      document.setIn(['shots', index, 'turned'], `${place.turnedDeg} deg`);
    }
  }
  return document.toString({ lineWidth: 0 });
}

function placeFields({ kind }: MendedPlace) {
  const common = [
    ['across', 'acrossMm'],
    ['up', 'upMm'],
    ['distance', 'distanceMm'],
  ] as const;
  return kind === 'pair' ? ([...common, ['spacing', 'spacingMm']] as const) : common;
}

function shotIndex(document: Document, photo: string): number | null {
  const shots = document.get('shots', true);
  if (!isSeq(shots)) return null;
  const index = shots.items.findIndex((one) => isMap(one) && one.get('photo') === photo);
  return index < 0 ? null : index;
}

/**
 * The line of a session file on which something is stated, from 1.
 *
 * @param about - `array.front-pitch`, `shots[3].distance` (counted from 1), or a photo
 * @returns null where it stands in no one line
 */
export function lineInSession(text: string, about: string): number | null {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines });
  const index = shotIndex(document, about);
  const path =
    index === null
      ? about.split(/[.[\]]+/).map((part) => (/^\d+$/.test(part) ? Number(part) - 1 : part))
      : ['shots', index];
  if (path[0] === 'shots' && path.length < 2) return null;
  const node = document.getIn(path, true);
  return isNode(node) && node.range ? lines.linePos(node.range[0]).line : null;
}
