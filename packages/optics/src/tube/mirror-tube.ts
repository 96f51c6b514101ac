import { requireFinite } from '../check.js';
import { integrate } from '../integrate.js';
import { unpolarisedReflectance } from './fresnel.js';
import { requireTube, resolveWall, type TubeSize, type Wall, type WallName } from './tube.js';

/**
 * Share of a parallel beam that a straight tube passes whose wall mirrors but does not scatter, skew rays included.
 *
 * Seen along the axis a ray runs along chords of one length and meets the wall at one angle. On chords at ψ from the
 * diameter (length d·cos ψ) a ray covers q = L·slope/(d·cos ψ) chords; entry points lie evenly along a chord, so that
 * a share q − ⌊q⌋ of them bounces once more than the others' ⌊q⌋ times. The sum over chords is one smooth-enough
 * integral over ψ. Own derivation; for a black wall it gives the overlap of two circles.
 *
 * @param slope - tangent of the angle between beam and axis; its sign does not matter
 * @returns light out / light into the bore, 0 to 1
 * @throws RangeError if the wall scatters (diffuse above 0): that takes the ray tracer
 */
export function mirrorTransmission(slope: number, tube: TubeSize, wall: Wall | WallName): number {
  const steep = Math.abs(requireFinite('slope', slope));
  const { boreMm, lengthMm } = requireTube(tube);
  const { index, extinction, gloss, diffuse } = resolveWall(wall);
  if (diffuse !== 0) throw new RangeError(`wall.diffuse must be 0 for a mirror tube, got ${diffuse}`);
  const bores = (lengthMm * steep) / boreMm;
  const sin = steep / Math.sqrt(1 + steep * steep);
  const sum = integrate(
    (psi) => {
      const chord = Math.cos(psi);
      if (chord < 1e-9) return 0;
      const hops = bores / chord;
      const bounces = Math.floor(hops);
      const kept = gloss * unpolarisedReflectance(sin * chord, index, extinction);
      return chord * chord * kept ** bounces * (1 - (hops - bounces) * (1 - kept));
    },
    0,
    Math.PI / 2,
  );
  return (4 / Math.PI) * sum;
}
