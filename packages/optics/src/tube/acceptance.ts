import type { Slopes } from '../slopes.js';

/** How a tube's transmission depends on the direction the light comes from. */
export interface Acceptance {
  /**
   * Light out of the tube / light into its bore.
   *
   * @param slopeAcross - tangent of the angle between the tube's chord (front end to back end) and the direction
   *   towards the light, positive to the right as seen from the back
   * @param slopeUp - likewise upwards
   */
  at(slopeAcross: number, slopeUp: number): number;
  /** Transmission along the chord. */
  readonly axial: number;
  /** Full width at half maximum through the peak, radians: along the bow's direction; for a straight tube in any. */
  readonly widthRad: number;
  /** Likewise at right angles to the bow. */
  readonly widthBesideRad: number;
  /** Where the tube looks: centre of gravity of its acceptance, weighted as even light does. 0, 0 for a straight tube. */
  readonly centre: Slopes;
  /** Share of even (Lambertian) light into the bore that comes out. */
  readonly evenThroughput: number;
}

/**
 * The acceptance of the same tube after turning it about its chord.
 *
 * @param turnRad - anticlockwise as seen from the back: a bow towards across points this far above across afterwards
 */
export function turnAcceptance(acceptance: Acceptance, turnRad: number): Acceptance {
  const cos = Math.cos(turnRad);
  const sin = Math.sin(turnRad);
  const { across, up } = acceptance.centre;
  return {
    ...acceptance,
    at: (slopeAcross, slopeUp) =>
      acceptance.at(cos * slopeAcross + sin * slopeUp, cos * slopeUp - sin * slopeAcross),
    centre: { across: cos * across - sin * up, up: sin * across + cos * up },
  };
}
