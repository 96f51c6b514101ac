import { tubeAxis, tubeFront, tubeLayout } from '@twolamp/optics';
import type { ArraySpec, LampShot } from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import { median } from '@twolamp/numeric';

/** Lamp places that a pointing needs at least. */
export const LEAST_LAMPS = 9;

/**
 * Readings of N tubes under K lamps. Arrays hold N × K values, tube by tube: tube n and lamp k are at n · K + k.
 * Slopes are tangents of the angle from the array's normal.
 */
export interface Sweep {
  readonly tubes: number;
  readonly lamps: number;
  /** Direction from the tube's front end to the lamp, off the tube's nominal direction. */
  readonly across: Float64Array;
  readonly up: Float64Array;
  /** Light that came out over the light that a typical lamp sends into an open bore; any unit. */
  readonly response: Float64Array;
  readonly sigma: Float64Array;
  /** 1 where the response is a lower bound, its photo being clipped. */
  readonly clipped: Uint8Array;
  /** Median of the lamps, from the front face. */
  readonly distanceMm: number;
  /** Tube length over that distance. */
  readonly lengthShare: number;
  /**
   * Slope over which the top of an acceptance is rounded: half of bore and lamp diameter over the lamps' distance, since
   * each point of the lamp is seen from each point of the bore under another slope.
   */
  readonly rounded: number;
  /** Nominal direction of each tube, N values. */
  readonly nominalAcross: Float64Array;
  readonly nominalUp: Float64Array;
}

/**
 * A sweep of lamp shots as response against direction: fall-off with distance squared and the cosine of incidence
 * on the front face taken out.
 *
 * @param shots - one for each lamp place, all of the array's N tubes in reading order
 * @param lampDiameterMm - across the part that shines
 * @throws RangeError if a shot holds another number of cells
 */
export function sweepOf(
  array: ArraySpec,
  shots: readonly LitShot<LampShot>[],
  lampDiameterMm: number,
): Sweep {
  const tubes = tubeLayout(array).count;
  const lamps = shots.length;
  for (const { shot, light } of shots) {
    if (light.flux.length !== tubes) {
      throw new RangeError(`light of ${shot.photo} must hold ${tubes} cells, got ${light.flux.length}`);
    }
  }
  const distanceMm = median(shots.map(({ shot }) => shot.distanceMm));
  const grid = () => new Float64Array(tubes * lamps);
  const sweep = {
    tubes,
    lamps,
    across: grid(),
    up: grid(),
    response: grid(),
    sigma: grid(),
    clipped: new Uint8Array(tubes * lamps),
    distanceMm,
    lengthShare: array.tubeLengthMm / distanceMm,
    rounded: (array.tubeBoreMm + lampDiameterMm) / (2 * distanceMm),
    nominalAcross: new Float64Array(tubes),
    nominalUp: new Float64Array(tubes),
  };
  const typical = shots.reduce((sum, { shot }) => sum + arriving(shot, 0, 0), 0) / lamps;
  for (let n = 0; n < tubes; n++) {
    const front = tubeFront(array, n);
    const due = tubeAxis(array, n);
    sweep.nominalAcross[n] = due.across;
    sweep.nominalUp[n] = due.up;
    shots.forEach(({ shot, light }, k) => {
      const at = n * lamps + k;
      sweep.across[at] = (shot.acrossMm - front.acrossMm) / shot.distanceMm - due.across;
      sweep.up[at] = (shot.upMm - front.upMm) / shot.distanceMm - due.up;
      const scale = typical / arriving(shot, front.acrossMm, front.upMm);
      sweep.response[at] = light.flux[n] * scale;
      sweep.sigma[at] = light.sigma[n] * scale;
      sweep.clipped[at] = light.clipped[n];
    });
  }
  return sweep;
}

/** Illuminance of the front face at a place, of a lamp of unit intensity: cos/r² = D/r³. */
function arriving(lamp: LampShot, acrossMm: number, upMm: number): number {
  const r = Math.hypot(lamp.acrossMm - acrossMm, lamp.upMm - upMm, lamp.distanceMm);
  return lamp.distanceMm / r ** 3;
}
