import { type Finding, finding, type SeenAs, type Shot } from '@twolamp/session';

/** The kind of shot that a photo looks like, where it looks like one. */
const FITTING: Partial<Record<SeenAs, Shot['kind']>> = {
  'nothing lit': 'dark',
  'evenly lit': 'even',
  'a pattern of spots': 'even',
};

/**
 * The finding that a photo is not what its shot says.
 *
 * @param first - name of the first even shot's photo, where this is another even shot: either may be the wrong one
 */
export function photoKindDoubt({ photo, kind }: Shot, seenAs: SeenAs, first: string | null): Finding {
  return finding('doubt-photo-kind', photo, {
    statedKind: kind,
    seenAs,
    seenAgainst: first,
    fittingKind: FITTING[seenAs] ?? null,
  });
}
