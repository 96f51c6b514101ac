import type { Session } from '@twolamp/session';

/** Across the part of a lamp that shines, and its standard uncertainty. */
export interface LampSize {
  readonly diameterMm: number;
  readonly sigmaMm: number;
}

/** What small lamps usually have; a session may state its own. Common practice, no source. */
const USUAL: LampSize = { diameterMm: 6, sigmaMm: 3 };

/** The lamps' size as a session states it, or the usual one where it states none (null). */
export function lampSizeOf({ lampDiameterMm }: Pick<Session, 'lampDiameterMm'>): LampSize {
  return lampDiameterMm === null ? USUAL : { diameterMm: lampDiameterMm, sigmaMm: 0 };
}
