import type { Session } from '@twolamp/session';

/** Diameter of the luminous part of a lamp, and its standard uncertainty. */
export interface LampSize {
  readonly diameterMm: number;
  readonly sigmaMm: number;
}

/** What small lamps usually have; a session may state its own. Common practice, no source. */
const TYPICAL_LAMP: LampSize = { diameterMm: 6, sigmaMm: 3 };

/** The lamps' size as stated in the session, or a typical one. */
export function lampSizeOf({ lampDiameterMm }: Pick<Session, 'lampDiameterMm'>): LampSize {
  return lampDiameterMm === null ? TYPICAL_LAMP : { diameterMm: lampDiameterMm, sigmaMm: 0 };
}
