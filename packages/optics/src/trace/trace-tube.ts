import { requireFinite, requirePositive, requireWhole } from '../check.js';
import type { Random } from '../random.js';
import { entranceSlope } from '../tube/bow.js';
import type { TubeShape, Wall, WallName } from '../tube/tube.js';
import { rayWalk } from './ray-walk.js';

/** What shines into the tube; slopes are those of {@link Acceptance}. */
export type Light =
  /** A parallel beam, evenly over the bore. */
  | { readonly kind: 'beam'; readonly slopeAcross: number; readonly slopeUp: number }
  /** A point at a distance from the front end, to the side of the chord: every ray comes straight from it. */
  | { readonly kind: 'lamp'; readonly acrossMm: number; readonly upMm: number; readonly distanceMm: number }
  /** Lambertian: the same radiance from everywhere in front. */
  | { readonly kind: 'even' };

export interface TraceResult {
  /** Light out of the tube / light into its bore. */
  readonly transmission: number;
  /** Of the transmission, from the scatter of the rays' light. */
  readonly standardError: number;
  readonly rays: number;
  /** Of all rays together. */
  readonly bounces: number;
}

/**
 * Transmission of one tube by Monte Carlo ray tracing, skew rays included.
 *
 * Rays enter evenly over the bore and carry a weight that falls at every bounce. In even light their directions are
 * drawn more densely near the axis, where the light that arrives comes from, and weighted to make up for it.
 *
 * @param rays - whole number, 2 or more
 * @throws RangeError that names the bad argument
 */
export function traceTube(
  tube: TubeShape,
  wall: Wall | WallName,
  light: Light,
  rays: number,
  random: Random,
): TraceResult {
  requireWhole('rays', rays, 2);
  const walk = rayWalk(tube, wall);
  const follow = entry(tube, light, random);
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < rays; i++) {
    let x: number;
    let y: number;
    do {
      x = 2 * random.uniform() - 1;
      y = 2 * random.uniform() - 1;
    } while (x * x + y * y >= 1);
    const passed = follow(walk, x, y);
    sum += passed;
    squares += passed * passed;
  }
  const transmission = sum / rays;
  const variance = Math.max(0, squares / rays - transmission * transmission) / (rays - 1);
  return { transmission, standardError: Math.sqrt(variance), rays, bounces: walk.bounces() };
}

type Entry = (walk: ReturnType<typeof rayWalk>, x: number, y: number) => number;

function entry(tube: TubeShape, light: Light, random: Random): Entry {
  switch (light.kind) {
    case 'beam': {
      const across = -requireFinite('slopeAcross', light.slopeAcross);
      const up = -requireFinite('slopeUp', light.slopeUp);
      return (walk, x, y) => walk.follow(x, y, across, up, random);
    }
    case 'lamp': {
      const radiiPerSlope = requirePositive('distanceMm', light.distanceMm) / (tube.boreMm / 2);
      const across = requireFinite('acrossMm', light.acrossMm) / light.distanceMm;
      const up = requireFinite('upMm', light.upMm) / light.distanceMm;
      return (walk, x, y) => walk.follow(x, y, x / radiiPerSlope - across, y / radiiPerSlope - up, random);
    }
    case 'even': {
      // Lambert's law spreads v = sin² of the angle evenly; drawn with density ∝ 1/(v + core) instead.
      const core = (tube.boreMm / tube.lengthMm) ** 2 + entranceSlope(tube) ** 2;
      const span = Math.log1p(1 / core);
      return (walk, x, y) => {
        const v = Math.min(core * Math.expm1(span * random.uniform()), 1 - 1e-15);
        const slope = Math.sqrt(v / (1 - v));
        const turn = 2 * Math.PI * random.uniform();
        return (v + core) * span * walk.follow(x, y, slope * Math.cos(turn), slope * Math.sin(turn), random);
      };
    }
  }
}
