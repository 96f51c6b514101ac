import type { PhotoExposure, Shot, ShotKind } from '@twolamp/session';

/** How a photo was exposed; null where neither the session nor the photo says. */
export interface Exposure {
  readonly seconds: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
}

/** Exposure of a shot: what the session states goes before what the photo says. */
export function exposureOf(shot: Shot, photo: PhotoExposure): Exposure {
  return {
    seconds: shot.stated.exposureS ?? photo.exposureS,
    iso: shot.stated.iso ?? photo.iso,
    aperture: shot.stated.aperture ?? photo.aperture,
  };
}

/**
 * Sensor signal per unit of light, up to a constant of the camera: t·S/N². Quantities that aren't known count as 1, so
 * two photos may only be compared where {@link comparable} holds.
 *
 * Source: the exposure relation of ISO 2720, N²/t ∝ L·S.
 */
export function exposureFactor({ seconds, iso, aperture }: Exposure): number {
  return ((seconds ?? 1) * ((iso ?? 100) / 100)) / (aperture ?? 1) ** 2;
}

/** Whether brightness may be compared across photos: every time known; ISO and aperture each known for all or for none. */
export function comparable(exposures: readonly Exposure[]): boolean {
  const allOrNone = (key: 'iso' | 'aperture'): boolean =>
    exposures.every((one) => one[key] === null) || exposures.every((one) => one[key] !== null);
  return exposures.every((one) => one.seconds !== null) && allOrNone('iso') && allOrNone('aperture');
}

/** Exposures of a session's photos, gaps filled where the others of their kind leave no doubt. */
export interface CompletedExposures {
  /** One a photo. */
  readonly exposures: readonly Exposure[];
  /** Photos that got the exposure that all others of their kind have, by index. */
  readonly taken: readonly number[];
  /** Photos whose brightness can't be compared with the others', by index. */
  readonly unknown: readonly number[];
  /** Whether brightness may be compared across all photos but these. */
  readonly comparable: boolean;
}

const KEYS = ['seconds', 'iso', 'aperture'] as const;
/** Others of its kind that must agree before a photo gets their exposure. */
const LEAST_ALIKE = 2;

const knownOf = (exposure: Exposure): string => KEYS.filter((key) => exposure[key] !== null).join();

/**
 * Fills in what single photos don't say of their exposure: a photo without it costs no more than itself.
 *
 * What most photos say (the time, with or without ISO and aperture) counts as what a photo should say.
 *
 * @param kinds - kind of each photo
 * @param exposures - of each, as far as known
 */
export function completedExposures(
  kinds: readonly ShotKind[],
  exposures: readonly Exposure[],
): CompletedExposures {
  const due = commonest(exposures.map(knownOf));
  if (due === undefined || !due.startsWith('seconds')) {
    return { exposures, taken: [], unknown: [], comparable: exposures.length === 0 };
  }
  const lacking = [...exposures.keys()].filter((n) => knownOf(exposures[n]) !== due);
  const alikeFor = new Map(lacking.map((n) => [n, commonExposure(kinds[n])]));
  return {
    exposures: exposures.map((one, n) => alikeFor.get(n) ?? one),
    taken: lacking.filter((n) => alikeFor.get(n)),
    unknown: lacking.filter((n) => !alikeFor.get(n)),
    comparable: true,
  };

  /** The exposure that all photos of a kind have; null where they are few or differ. */
  function commonExposure(kind: ShotKind): Exposure | null {
    const others = exposures.filter((one, n) => kinds[n] === kind && knownOf(one) === due);
    const alike = new Set(others.map(exposureFactor)).size === 1;
    return alike && others.length >= LEAST_ALIKE ? others[0] : null;
  }
}

function commonest(values: readonly string[]): string | undefined {
  const counts = new Map<string, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}
