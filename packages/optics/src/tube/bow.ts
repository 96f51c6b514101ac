import { requireFinite, requirePositive } from '../check.js';
import { bowOf, type TubeShape } from './tube.js';

/**
 * Where the front end of a bowed tube looks, as a slope off the chord: −4h/L, away from the bow. A tube whose middle is
 * pushed to the right looks left. It is the tangent of the arc x = 4h·z(L − z)/L² at its end.
 */
export function entranceSlope(tube: TubeShape): number {
  return (-4 * bowOf(tube)) / tube.lengthMm;
}

/** The bow of a glossy tube that looks aside by a slope: h = −L·slope/4, mm; its middle lies on the other side. */
export function bowFromEntranceSlopeMm(slope: number, lengthMm: number): number {
  return (-requireFinite('slope', slope) * requirePositive('lengthMm', lengthMm)) / 4;
}
