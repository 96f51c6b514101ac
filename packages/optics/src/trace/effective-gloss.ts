import { requireInside, requirePositive } from '../check.js';
import { mirrorTransmission } from '../tube/mirror-tube.js';
import { requireTube, type TubeSize, type Wall } from '../tube/tube.js';
import { straightAcceptance } from './straight-acceptance.js';

/** The gloss at which theory gives what was measured. */
export interface EffectiveGloss {
  /**
   * `within`: found between 0 and 1; `duller`: even a black wall would give more (gloss is then 0); `glossier`: even a
   * perfectly smooth one would give less (gloss is then 1).
   */
  readonly bound: 'within' | 'duller' | 'glossier';
  readonly gloss: number;
}

type Material = Pick<Wall, 'index' | 'extinction'>;

const BISECTIONS = 24;

/**
 * Effective gloss of a straight tube's wall from the width of its acceptance.
 *
 * @param widthRad - full width at half maximum, for a lamp far away compared with the tube's length
 * @param material - of the wall
 */
export function glossFromWidth(tube: TubeSize, widthRad: number, material: Material): EffectiveGloss {
  requireInside('widthRad', widthRad, 0, Math.PI * 0.999);
  const slope = Math.tan(widthRad / 2);
  return whereReached((gloss) => mirrorTransmission(slope, tube, { ...material, gloss }) - 0.5);
}

/**
 * Effective gloss of a straight tube's wall from the even light it passes (its absolute transmission).
 *
 * @param evenThroughput - light out of the tube / even light into its bore
 * @param material - of the wall
 */
export function glossFromThroughput(
  tube: TubeSize,
  evenThroughput: number,
  material: Material,
): EffectiveGloss {
  requireTube(tube);
  requirePositive('evenThroughput', evenThroughput);
  return whereReached((gloss) => {
    const passes = (slope: number) => mirrorTransmission(slope, tube, { ...material, gloss });
    return straightAcceptance(tube, passes).evenThroughput - evenThroughput;
  });
}

/** @param excess - rises with the gloss */
function whereReached(excess: (gloss: number) => number): EffectiveGloss {
  if (excess(0) > 0) return { bound: 'duller', gloss: 0 };
  if (excess(1) < 0) return { bound: 'glossier', gloss: 1 };
  let low = 0;
  let high = 1;
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (low + high) / 2;
    if (excess(middle) < 0) low = middle;
    else high = middle;
  }
  return { bound: 'within', gloss: (low + high) / 2 };
}
