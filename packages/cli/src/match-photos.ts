import type { ShotKind } from '@twolamp/session';

/** A photo in the order in which it was taken, with the kind that its look suggests. */
export interface TakenPhoto {
  readonly name: string;
  readonly looksLike: ShotKind;
}

/** A planned shot with the photo that was taken for it. */
export interface MatchedShot<S> {
  readonly shot: S;
  readonly photo: string;
  /** The kind that the photo looks like, where that is not the shot's; else null. */
  readonly doubt: ShotKind | null;
}

/** One lamp, two merged lamps and a single tube look alike. */
const lookOf = (kind: ShotKind) => (kind === 'pair' || kind === 'single' ? 'lamp' : kind);

/** Consecutive shots that look alike: 1 dark, 2 even, 14 with lamps. */
function runs(kinds: readonly ShotKind[]): string {
  const found: { look: string; count: number }[] = [];
  for (const kind of kinds) {
    const look = lookOf(kind);
    const last = found.at(-1);
    if (last?.look === look) last.count++;
    else found.push({ look, count: 1 });
  }
  return found.map(({ look, count }) => `${count} ${look === 'lamp' ? 'with lamps' : look}`).join(', ');
}

/**
 * Gives each planned shot the photo taken at its turn.
 *
 * @param shots - planned, in the order of shooting
 * @param photos - in the order in which they were taken
 * @returns the shots with their photos; or, where there are more or fewer photos than shots, what both lists hold
 */
export function matchPhotos<S extends { readonly kind: ShotKind }>(
  shots: readonly S[],
  photos: readonly TakenPhoto[],
): { readonly matched: MatchedShot<S>[] } | { readonly planned: string; readonly taken: string } {
  if (shots.length !== photos.length) {
    return {
      planned: runs(shots.map(({ kind }) => kind)),
      taken: runs(photos.map(({ looksLike }) => looksLike)),
    };
  }
  return {
    matched: shots.map((shot, n) => {
      const { name, looksLike } = photos[n]!;
      return { shot, photo: name, doubt: lookOf(looksLike) === lookOf(shot.kind) ? null : looksLike };
    }),
  };
}
