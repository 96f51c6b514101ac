import {
  glossFromWidth,
  HALF_MAXIMUM_SHIFT,
  mirrorTransmission,
  NAMED_WALLS,
  type TubeSize,
} from '@twolamp/optics';
import { halfWidthOf, type RadialSpline } from './radial-spline.js';

/** What theory says of the response of straight tubes, where the shots leave it open. */
export interface ResponseTheory {
  /** Response at the knots, 1 on the axis; null = nothing but smoothness is expected. */
  readonly shape: Float64Array | null;
  /** Widening of a near lamp's response times tube length ÷ distance. */
  readonly widening: number;
}

/**
 * Of black tubes. A lamp's cone meets the bore's two ends in circles of unlike size, whose shared area ends at (1 + ½ L/D)
 * of the far lamp's slope. With the bore's disc that levels the top, dips come out best at this value. (Circle geometry.)
 */
const BLACK_WIDENING = 0.6;

/**
 * Gloss at which the widening has fallen to 1/e: a mirroring tube sees a near lamp as a far one. The law is fitted to traced
 * tubes, lamps at 5 to 20 tube lengths: a far lamp's response, stretched to fit a near one's, widens by 0.52, 0.37, 0.24,
 * 0.12, 0.08, 0.02 at a gloss of 0.1, 0.2, 0.3, 0.43, 0.5, 0.8.
 */
const WIDENING_GLOSS = 0.35;

/** Before the walls' gloss is known. */
export const NO_THEORY: ResponseTheory = { shape: null, widening: BLACK_WIDENING };

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
    widening: BLACK_WIDENING * Math.exp(-((gloss / WIDENING_GLOSS) ** 2)),
  };
}
