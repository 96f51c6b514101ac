export {
  angularPitch,
  isUndersampled,
  lampSeparationCells,
  lampSpreadCells,
  wellSampledFrontPitchMm,
} from './array/lamp-image.js';
export { type ArrayView, matchFingerprints, type ViewMatch } from './array/fingerprint.js';
export { axisSpacingMm } from './array/axis-spacing.js';
export { type ArrayGeometry, type PackedPlace, tubeOf } from './array/array.js';
export {
  mapAt,
  placeLayout,
  type TubeLayout,
  tubeAxis,
  tubeBack,
  tubeFront,
  tubeLayout,
  tubeOfCell,
} from './array/tube-layout.js';
export { axisSlopes, backPlace, frontPlace, latticePlace, type Place } from './array/layout.js';
export type { Slopes } from './slopes.js';
export { requirePositive } from './check.js';
export {
  effectiveFNumber,
  type KnownExposure,
  openAreaFraction,
  scaledExposureS,
  stopsBetween,
} from './light/light-budget.js';
export { type Random, seededRandom } from './random.js';
export { absorbingWidthRad, circleOverlap, HALF_MAXIMUM_SHIFT } from './tube/absorbing.js';
export { mirrorTransmission } from './tube/mirror-tube.js';
export { acceptanceByDistance } from './trace/acceptance-by-distance.js';
export { blurredAcceptance } from './trace/blurred-acceptance.js';
export { glossFromThroughput, glossFromWidth } from './trace/effective-gloss.js';
export { traceAcceptance, tracedTransmission } from './trace/trace-acceptance.js';
export { type Light, traceTube } from './trace/trace-tube.js';
export { absorbingAcceptance } from './tube/absorbing-acceptance.js';
export { type Acceptance, turnAcceptance } from './tube/acceptance.js';
export { litWidthRad } from './tube/lit-width.js';
export { discPoints } from './disc-points.js';
export { bowFromEntranceSlopeMm } from './tube/bow.js';
export {
  NAMED_WALLS,
  resolveWall,
  type TubeShape,
  type TubeSize,
  type Wall,
  type WallName,
} from './tube/tube.js';
export { absorbingEvenThroughput } from './tube/view-factor.js';
export { isSeparate, requiredDip } from './two-lamp/criterion.js';
export { type PairProfile, pairDip } from './two-lamp/pair-dip.js';
export {
  type PairPrediction,
  predictPair,
  type ResolvingDistance,
  resolvingDistance,
} from './two-lamp/prediction.js';
