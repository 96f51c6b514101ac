/** How a tube's transmission depends on the direction a parallel beam comes from. */
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
  /** Full width at half maximum, through the peak, across; radians. */
  readonly widthRad: number;
  /** Centre of gravity, slopes: where the tube looks in even light. 0, 0 for a straight tube. */
  readonly centre: { readonly across: number; readonly up: number };
  /** Share of even (Lambertian) light into the bore that comes out. */
  readonly evenThroughput: number;
}
