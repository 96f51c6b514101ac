import type { LinearPhoto, Shot } from '@twolamp/session';

/** How a photo was exposed; null where neither the session nor the photo says. */
export interface Exposure {
  readonly seconds: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
}

/** Exposure of a shot: what the session states goes before what the photo says. */
export function exposureOf(shot: Shot, photo: Pick<LinearPhoto, 'exposureS' | 'iso' | 'aperture'>): Exposure {
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
