import { parseLengthMm, type ShotKind } from '@twolamp/session';

/** What a photo's name tells. */
export interface NameGuess {
  readonly kind: ShotKind | null;
  /** The only length in it, for example 1.8 m in pair-1.8m.jpg. */
  readonly distanceMm: number | null;
  /** From r12c7 or row12-column7. */
  readonly row: number | null;
  readonly column: number | null;
}

/** Words by kind, first match counts: "pair" before "lamp", as a pair is of lamps. */
const WORDS: readonly (readonly [ShotKind, RegExp])[] = [
  ['dark', /dark|black|noise/],
  ['bare', /bare|sheet|paper|vellum/],
  ['even', /even|flat|white|sky|diffus/],
  ['single', /single|tube|hole|fibre|fiber/],
  ['pair', /pair|double|both/],
  ['lamp', /lamp|sweep|point/],
];
const PLACE = /r(?:ow)?[-_ ]?(\d+)[-_ ]?c(?:ol(?:umn)?)?[-_ ]?(\d+)/;
const LENGTHS = /(?<![a-z\d])\d+(?:[.,]\d+)?(?:mm|cm|m|in|ft)(?![a-z\d])/g;

/**
 * What a photo's name tells of the shot.
 *
 * @param name - file name, with or without folders and ending
 */
export function guessFromName(name: string): NameGuess {
  const stem = name.replace(/\.\w+$/, '').toLowerCase();
  const place = PLACE.exec(stem);
  const kind = WORDS.find(([, pattern]) => pattern.test(stem))?.[0] ?? (place ? 'single' : null);
  const lengths = stem.match(LENGTHS) ?? [];
  return {
    kind,
    distanceMm: lengths.length === 1 ? parseLengthMm(lengths[0].replace(',', '.')) : null,
    row: place ? Number(place[1]) : null,
    column: place ? Number(place[2]) : null,
  };
}
