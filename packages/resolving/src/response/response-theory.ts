import {
  glossFromWidth,
  HALF_MAXIMUM_SHIFT,
  mirrorTransmission,
  NAMED_WALLS,
  type TubeSize,
} from '@twolamp/optics';
import { halfWidthOf, type RadialSpline } from './radial-spline.js';
import { WIDENING } from './tuning.js';

/** What theory says of the response of straight tubes, where the shots leave it open. */
export interface ResponseTheory {
  /** Response at the knots, 1 on the axis; null = nothing but smoothness is expected. */
  readonly shape: Float64Array | null;
  /** Widening of a near lamp's response times tube length ÷ distance. */
  readonly widening: number;
}

/** Before the walls' gloss is known. */
export const NO_THEORY: ResponseTheory = { shape: null, widening: WIDENING.black };

/**
 * The theory of straight tubes whose half width is the measured one: walls of the gloss that gives it. Where even black
 * walls would be wider, their response is narrowed; where even mirrors would be narrower, theory says nothing of the shape.
 *
 * @param spline - response to a point-like lamp
 */
export function theoryOf(tube: TubeSize, spline: RadialSpline): ResponseTheory {
  const material = NAMED_WALLS['glossy black'];
  const halfWidth = halfWidthOf(spline);
  const { gloss, bound } = glossFromWidth(tube, 2 * Math.atan(halfWidth), material);
  const stretch = bound === 'duller' ? (HALF_MAXIMUM_SHIFT * tube.boreMm) / tube.lengthMm / halfWidth : 1;
  return {
    shape:
      bound === 'glossier'
        ? null
        : spline.knots.map((slope) => mirrorTransmission(slope * stretch, tube, { ...material, gloss })),
    widening: WIDENING.black * Math.exp(-((gloss / WIDENING.gloss) ** 2)),
  };
}
