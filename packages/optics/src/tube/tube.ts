import { requireInside, requireNotNegative, requirePositive } from '../check.js';

/** A round tube. */
export interface TubeSize {
  /** Inner diameter. */
  readonly boreMm: number;
  readonly lengthMm: number;
}

/** A tube whose ends are held in place while its middle is pushed aside: an arc over its chord. */
export interface TubeShape extends TubeSize {
  /** How far the middle lies off the straight line between the ends, towards across (right) when positive; 0 = straight. */
  readonly bowMm?: number;
}

/** @throws RangeError that names the bad field */
export function requireTube<Tube extends TubeSize>(tube: Tube): Tube {
  requirePositive('boreMm', tube.boreMm);
  requirePositive('lengthMm', tube.lengthMm);
  return tube;
}

/** The bow of a checked shape. Beyond a quarter of the length the arc is no longer a parabola. */
export function bowOf(tube: TubeShape): number {
  const bow = tube.bowMm ?? 0;
  requireInside('bowMm', bow, -tube.lengthMm / 4, tube.lengthMm / 4);
  return bow;
}

/** What light meets on the inside of a tube. */
export interface Wall {
  /** Refractive index n of the wall's material. */
  readonly index: number;
  /** Its extinction coefficient k (complex index n + ik). */
  readonly extinction: number;
  /**
   * Share of the Fresnel-reflected light that stays a mirror image: at every bounce gloss × R(angle) goes on in the
   * mirror's direction. 1 = optically smooth, 0 = no mirror image at all.
   */
  readonly gloss: number;
  /**
   * Share of the light that was *not* mirrored and comes back evenly scattered (Lambertian): at every bounce
   * diffuse × (1 − gloss × R). 0 where left out; the rest is absorbed.
   */
  readonly diffuse?: number;
}

/**
 * Walls by name. Black plastic and black paint have an index near 1.5 (common practice, no source); the gloss of
 * 0.8 stands for extruded plastic that is smooth to the eye, and is a guess until a sweep has been measured.
 */
export const NAMED_WALLS = {
  'glossy black': { index: 1.5, extinction: 0, gloss: 0.8, diffuse: 0 },
  'matte black': { index: 1.5, extinction: 0, gloss: 0, diffuse: 0 },
} as const satisfies Record<string, Wall>;

export type WallName = keyof typeof NAMED_WALLS;

/**
 * The wall that a name or a description stands for, checked.
 *
 * @throws RangeError if index is not above 0, extinction below 0, or gloss or diffuse outside 0 to 1
 */
export function resolveWall(wall: WallName | Wall): Required<Wall> {
  const found = typeof wall === 'string' ? NAMED_WALLS[wall] : wall;
  if (found === undefined) {
    throw new RangeError(
      `wall must be one of ${Object.keys(NAMED_WALLS).join(', ')} or a description, got ${wall}`,
    );
  }
  const { index, extinction, gloss, diffuse = 0 } = found;
  requirePositive('index', index);
  requireNotNegative('extinction', extinction);
  requireInside('gloss', gloss, 0, 1);
  requireInside('diffuse', diffuse, 0, 1);
  return { index, extinction, gloss, diffuse };
}
