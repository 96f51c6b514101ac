import type { Random } from '../random.js';
import { entranceSlope } from '../tube/bow.js';
import { unpolarisedReflectance } from '../tube/fresnel.js';
import { bowOf, requireTube, resolveWall, type TubeShape, type Wall, type WallName } from '../tube/tube.js';
import { firstRoot } from './first-root.js';

/**
 * Follows rays through one tube. Lengths are in bore radii, slopes are sideways steps per step along the tube.
 *
 * A bowed tube is followed in the frame that goes with its axis: there it is a straight cylinder in which light falls
 * sideways, with curvature 8h/L², and the entrance's tangent leaves the chord by 4h/L. That is exact for straight
 * tubes at any angle and paraxial (slopes well below 1) for bowed ones.
 */
export interface RayWalk {
  /**
   * Share of a ray's light that leaves at the back end.
   *
   * @param x - where it enters, across, radii from the bore's middle, x² + y² < 1
   * @param y - likewise up
   * @param slopeX - of its way towards the back, against the tube's chord
   * @param random - asked only where the wall scatters
   */
  follow(x: number, y: number, slopeX: number, slopeY: number, random: Random): number;
  /** Bounces of all rays followed so far. */
  bounces(): number;
}

/** A ray is given up when less than this share of it is left. */
const FAINTEST = 1e-6;
/** Keeps a division by 0 away. */
const LEAST = 1e-12;

export function rayWalk(tube: TubeShape, wall: Wall | WallName): RayWalk {
  const { boreMm, lengthMm } = requireTube(tube);
  const bowMm = bowOf(tube);
  const { index, extinction, gloss, diffuse } = resolveWall(wall);
  const radiusMm = boreMm / 2;
  const length = lengthMm / radiusMm;
  const looksAside = entranceSlope(tube);
  const fall = (8 * bowMm * radiusMm) / (lengthMm * lengthMm);
  let bounces = 0;

  /** A mirror's ray in a straight tube keeps its chord and its angle of incidence, so that its bounces can be counted at once. */
  function followChords(x: number, y: number, slopeX: number, slopeY: number): number {
    const slope2 = slopeX * slopeX + slopeY * slopeY;
    if (slope2 === 0) return 1;
    const slope = Math.sqrt(slope2);
    const along = (x * slopeX + y * slopeY) / slope;
    const half = Math.sqrt(Math.max(LEAST, 1 - (x * x + y * y - along * along)));
    const beyondFirst = slope * length - (half - along);
    if (beyondFirst < 0) return 1;
    const count = 1 + Math.floor(beyondFirst / (2 * half));
    bounces += count;
    const cos = (slope * half) / Math.sqrt(1 + slope2);
    return (gloss * unpolarisedReflectance(cos, index, extinction)) ** count;
  }

  function followBounces(
    enterX: number,
    enterY: number,
    slopeX: number,
    slopeY: number,
    random: Random,
  ): number {
    let x = enterX;
    let y = enterY;
    let sx = slopeX + looksAside;
    let sy = slopeY;
    let forward = true;
    let ahead = length; // to the end the ray heads for
    let light = 1;
    let step = firstRoot(
      x * x + y * y - 1,
      2 * (x * sx + y * sy),
      sx * sx + sy * sy + fall * x,
      fall * sx,
      0.25 * fall * fall,
      ahead,
    );
    while (step < ahead) {
      bounces++;
      x += (sx + 0.5 * fall * step) * step;
      y += sy * step;
      sx += fall * step;
      ahead -= step;
      const size = 1 / Math.sqrt(x * x + y * y);
      x *= size;
      y *= size;
      const outward = sx * x + sy * y;
      const cos = outward / Math.sqrt(1 + sx * sx + sy * sy);
      const mirrored = gloss * unpolarisedReflectance(cos, index, extinction);
      const scattered = diffuse * (1 - mirrored);
      light *= mirrored + scattered;
      if (light < FAINTEST) return 0;
      if (scattered > 0 && random.uniform() * (mirrored + scattered) < scattered) {
        // Lambert's law about the inward normal: the direction's shadow on the wall is evenly spread over a disk (Malley).
        let around: number;
        let axial: number;
        do {
          around = 2 * random.uniform() - 1;
          axial = 2 * random.uniform() - 1;
        } while (around * around + axial * axial >= 1);
        const inward = Math.sqrt(1 - around * around - axial * axial);
        if (axial > 0 !== forward) {
          forward = !forward;
          ahead = length - ahead;
        }
        const perStep = 1 / Math.max(LEAST, Math.abs(axial));
        sx = (-inward * x - around * y) * perStep;
        sy = (-inward * y + around * x) * perStep;
      } else {
        sx -= 2 * outward * x;
        sy -= 2 * outward * y;
      }
      // The ray starts on the wall, so that one root is 0 and the next solves what is left.
      step = firstRoot(
        2 * (x * sx + y * sy),
        sx * sx + sy * sy + fall * x,
        fall * sx,
        0.25 * fall * fall,
        0,
        ahead,
      );
    }
    return forward ? light : 0;
  }

  const straightMirror = bowMm === 0 && diffuse === 0;
  return { follow: straightMirror ? followChords : followBounces, bounces: () => bounces };
}
