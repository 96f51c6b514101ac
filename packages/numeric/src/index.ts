export { benjaminiHochberg } from './benjamini-hochberg.js';
export { bisect } from './bisect.js';
export { factorise, solveCholesky, substitute } from './cholesky.js';
export { NEIGHBOUR_PITCHES, nextSide, triangulate, type Triangulation } from './delaunay.js';
export { extraScatter } from './extra-scatter.js';
export { interpolate, interpolateEven } from './linear-interpolation.js';
export { neighbourFinder } from './neighbours.js';
export { equationsOf, NormalEquations, solveEquations } from './normal-equations.js';
export { normalTail } from './normal-tail.js';
export { orderOf } from './order-of.js';
export { parabolaVertex } from './parabola.js';
export { fitPointingField, type PointingField } from './pointing-field.js';
export { fillTerms, sumOfTerms, supportedDegree, surfaceTerms } from './polynomial.js';
export {
  bisquare,
  biweightLocation,
  biweightScale,
  MAD_TO_SIGMA,
  madScale,
  MEDIAN_OVER_MEAN,
  median,
  selectSmallest,
} from './robust.js';
export { fitRobustSurface, type RobustSurface } from './robust-surface.js';
export { factorPositive, solvePositive, UnsolvableError } from './solve-positive.js';
export { NORMAL_95, student95 } from './student.js';
export { thin } from './thin.js';
