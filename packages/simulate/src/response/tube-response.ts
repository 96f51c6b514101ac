import {
  type Acceptance,
  acceptanceByDistance,
  type Random,
  resolveWall,
  traceAcceptance,
  tracedTransmission,
  type TubeSize,
  turnAcceptance,
  type Wall,
} from '@twolamp/optics';

/** How a tube answers to light from the scene. Slopes are against its chord, as seen from the back. */
export interface TubeResponse {
  /**
   * Share of a point lamp's light into the bore that comes out.
   *
   * @param across - tangent of the angle between the chord and the direction from the front end to the lamp
   * @param distanceMm - of the lamp from the front face
   */
  at(across: number, up: number, distanceMm: number): number;
  /** Acceptance of light from a distance, to be asked in many directions. */
  table(distanceMm: number): Acceptance;
  /** Acceptance of parallel light: width, centre of gravity, even throughput. */
  readonly far: Acceptance;
}

/**
 * Response of a straight tube, traced once for all distances.
 *
 * @param nearestMm - no lamp comes nearer
 */
export function straightResponse(
  tube: TubeSize,
  wall: Wall,
  random: Random,
  nearestMm: number,
): TubeResponse {
  const byDistance = acceptanceByDistance(tube, wall, random, nearestMm);
  let latest = { distanceMm: Infinity, acceptance: byDistance(Infinity) };
  return {
    at(across, up, distanceMm) {
      if (latest.distanceMm !== distanceMm) latest = { distanceMm, acceptance: byDistance(distanceMm) };
      return latest.acceptance.at(across, up);
    },
    table: byDistance,
    far: byDistance(Infinity),
  };
}

/**
 * Response of a bent tube; each lamp's rays are traced when asked for, into a map where the wall scatters.
 *
 * @param random - a generator from its beginning, each time
 * @param distancesMm - of the lamps, each once: each has rays of its own
 * @param bowMm - how far the middle stands out
 * @param bowRad - in which direction, 0 = right, anticlockwise as seen from the back
 */
export function bentResponse(
  tube: TubeSize,
  wall: Wall,
  random: () => Random,
  distancesMm: readonly number[],
  bowMm: number,
  bowRad: number,
): TubeResponse {
  const bent = { ...tube, bowMm };
  const cos = Math.cos(bowRad);
  const sin = Math.sin(bowRad);
  /** The generator of one distance: what a photo shows must not depend on which were taken before it. */
  const randomAt = (distanceMm: number): Random => {
    const own = random();
    for (let turns = distancesMm.indexOf(distanceMm) + 1; turns > 0; turns--) own.uniform();
    return own;
  };
  const mapAt = (lampDistanceMm: number) =>
    traceAcceptance(bent, wall, randomAt(lampDistanceMm), { lampDistanceMm });
  const responseAt = (lampDistanceMm: number) =>
    resolveWall(wall).diffuse > 0
      ? mapAt(lampDistanceMm).at
      : tracedTransmission(bent, wall, randomAt(lampDistanceMm), { lampDistanceMm });
  const byDistance = new Map<number, ReturnType<typeof responseAt>>();
  return {
    at(across, up, distanceMm) {
      const known = byDistance.get(distanceMm);
      const transmission = known ?? responseAt(distanceMm);
      if (!known) byDistance.set(distanceMm, transmission);
      return transmission(cos * across + sin * up, cos * up - sin * across);
    },
    table: (distanceMm) => turnAcceptance(mapAt(distanceMm), bowRad),
    far: turnAcceptance(mapAt(Infinity), bowRad),
  };
}
