import type { ShotKind } from '@twolamp/session';

/** Fewer than these, and the figure can't be found. */
const LEAST_LAMPS = 9;
const LEAST_PAIR_DISTANCES = 4;

/** What has to be known of a shot for this; a draft's distance may still be open. */
type ShotToCount =
  | { readonly kind: Exclude<ShotKind, 'pair'> }
  | { readonly kind: 'pair'; readonly distanceMm: number | null };

/** A figure that the shots at hand can't give, and the shot that would. */
export interface MissingShot {
  readonly kind: ShotKind;
  readonly says: string;
}

/** What a session's shots can't tell, before anything is measured. An even shot is there, or reading refuses the session. */
export function missingShots({
  array,
  shots,
}: {
  readonly array: { readonly kind?: 'cell-screen' | null };
  readonly shots: readonly ShotToCount[];
}): MissingShot[] {
  const isScreen = array.kind === 'cell-screen';
  const count = (kind: ShotKind) => shots.filter((shot) => shot.kind === kind).length;
  const lamps = count('lamp');
  const distances = new Set(shots.flatMap((shot) => (shot.kind === 'pair' ? (shot.distanceMm ?? []) : [])))
    .size;
  const missing: (MissingShot | false)[] = [
    count('dark') === 0 && {
      kind: 'dark',
      says: 'no dark shot, so stray light and the sensor’s black level can only be estimated: shoot one with the lamps off',
    },
    count('even') === 1 && {
      kind: 'even',
      says: 'only one even shot: a second one shows how large the noise is',
    },
    !isScreen &&
      distances < LEAST_PAIR_DISTANCES && {
        kind: 'pair',
        says:
          `${distances === 0 ? 'no pair shots' : `pair shots from only ${distances} distance${distances === 1 ? '' : 's'}`}: a resolving distance needs ${LEAST_PAIR_DISTANCES} distances or more, from ` +
          'clearly separate lamps to merged ones',
      },
    !isScreen &&
      lamps < LEAST_LAMPS && {
        kind: 'lamp',
        says: `${lamps === 0 ? 'no' : `only ${lamps}`} lamp shot${lamps === 1 ? '' : 's'}: to find where the tubes look takes ${LEAST_LAMPS} or more lamp places`,
      },
    count('single') === 0 && {
      kind: 'single',
      says: 'no single shots, so crosstalk (light that passes from tube to tube) is not measured: light a few tubes alone, one a photo',
    },
    count('bare') === 0 && {
      kind: 'bare',
      says: 'no bare shot, so the tubes’ light is known only against each other: shoot the sheet alone in the same even light',
    },
  ];
  return missing.filter((one) => one !== false);
}
