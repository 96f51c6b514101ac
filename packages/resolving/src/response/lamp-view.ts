import { type ArrayGeometry, tubeAxis, tubeFront, tubeLayout } from '@twolamp/optics';
import { type LampShot, lampsOf, type PairShot } from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import { BORE_DISC, LEAST_TRANSMISSION, MOST_TRANSMISSION } from './tuning.js';

/** One shot of one lamp or two as input of the fit; N cells, reading order. */
export interface LampView {
  readonly shot: LampShot | PairShot;
  /** Flux ÷ relative transmission. */
  readonly light: Float64Array;
  readonly noise: Float64Array;
  /** 1 where the cell is used: neither blocked nor an open hole, not clipped. */
  readonly usable: Uint8Array;
  /** Place of each tube's front from the middle of the array, in front pitches (2N: across, up). */
  readonly places: Float64Array;
  /** Tube length ÷ distance of the lamps. */
  readonly nearness: number;
  /** Radius of the disc over which the lamps' light is spread, a slope: see {@link discRadiusMm}. */
  readonly discRadius: number;
  /** One a lamp: its slopes off each tube's nominal axis (2N: across, up), and its relative illuminance (N). */
  readonly lamps: readonly { readonly slopes: Float64Array; readonly falloff: Float64Array }[];
}

/**
 * Radius of the disc of light that stands for a lamp: its own, and that of the bore. A near lamp's rays spread inside the
 * bore, which levels the top of the response as a wider lamp would.
 */
export function discRadiusMm({ tubeBoreMm }: ArrayGeometry, lampDiameterMm: number): number {
  return Math.hypot(lampDiameterMm, BORE_DISC * tubeBoreMm) / 2;
}

/**
 * Prepares a shot for the fit: slopes of its lamps off each tube's axis, and each cell's light divided by the tube's
 * relative transmission.
 *
 * @param relative - relative transmission of each cell, NaN where unknown
 * @param lampDiameterMm - of the lamps' luminous discs
 */
export function viewLamps(
  array: ArrayGeometry,
  { shot, light }: LitShot<LampShot | PairShot>,
  relative: Float64Array,
  lampDiameterMm: number,
): LampView {
  const { count, across: placeAcross, up: placeUp } = tubeLayout(array);
  const usable = new Uint8Array(count);
  for (let k = 0; k < count; k++) {
    const open = relative[k] >= LEAST_TRANSMISSION && relative[k] <= MOST_TRANSMISSION;
    usable[k] =
      open && light.clipped[k] === 0 && Number.isFinite(light.flux[k]) && light.sigma[k] > 0 ? 1 : 0;
  }
  const places = new Float64Array(2 * count);
  for (let k = 0; k < count; k++) {
    places[2 * k] = placeAcross[k];
    places[2 * k + 1] = placeUp[k];
  }
  const distance = shot.distanceMm;
  const lamps = lampsOf(shot).map(([across, up]) => {
    const slopes = new Float64Array(2 * count);
    const falloff = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const front = tubeFront(array, k);
      const axis = tubeAxis(array, k);
      const dx = across - front.acrossMm;
      const dy = up - front.upMm;
      slopes[2 * k] = dx / distance - axis.across;
      slopes[2 * k + 1] = dy / distance - axis.up;
      // Inverse square and the cosine at the bore.
      falloff[k] = (1 + (dx / distance) ** 2 + (dy / distance) ** 2) ** -1.5;
    }
    return { slopes, falloff };
  });
  return {
    shot,
    light: light.flux.map((flux, k) => (usable[k] ? flux / relative[k] : 0)),
    noise: light.sigma.map((sigma, k) => (usable[k] ? sigma / relative[k] : 1)),
    usable,
    places,
    nearness: array.tubeLengthMm / distance,
    discRadius: discRadiusMm(array, lampDiameterMm) / distance,
    lamps,
  };
}
