export {
  angularPitch,
  isUndersampled,
  lampSeparationCells,
  lampSpreadCells,
  wellSampledFrontPitchMm,
} from './array/lamp-image.js';
export { apexDistanceMm, axisSpacingMm } from './array/apex.js';
export { type ArrayGeometry, requireArray, tubeOf } from './array/array.js';
export { collimatorResolutionMm, roundBoreResolutionMm } from './array/collimator.js';
export { type TubeLayout, tubeAxis, tubeBack, tubeFront, tubeLayout } from './array/tube-layout.js';
export { axisSlopes, backPlace, frontPlace, latticePlace, type Place, type Slopes } from './array/layout.js';
export { requireFinite, requireInside, requireNotNegative, requirePositive, requireWhole } from './check.js';
export {
  type EffectiveFNumber,
  effectiveFNumber,
  type KnownExposure,
  openAreaFraction,
  scaledExposureS,
  stopsBetween,
} from './light/light-budget.js';
export { type Random, seededRandom } from './random.js';
export {
  absorbingSolidAngleSr,
  absorbingTransmission,
  absorbingWidthRad,
  circleOverlap,
  HALF_MAXIMUM_SHIFT,
} from './tube/absorbing.js';
export { acceptanceByDistance } from './trace/acceptance-by-distance.js';
export { type EffectiveGloss, glossFromThroughput, glossFromWidth } from './trace/effective-gloss.js';
export { type AcceptanceOptions, traceAcceptance, tracedTransmission } from './trace/trace-acceptance.js';
export { type Light, type TraceResult, traceTube } from './trace/trace-tube.js';
export { absorbingAcceptance } from './tube/absorbing-acceptance.js';
export { type Acceptance, turnAcceptance } from './tube/acceptance.js';
export { litWidthRad } from './tube/lit-width.js';
export { discPoints } from './disc-points.js';
export { mirrorTransmission } from './tube/mirror-tube.js';
export { bowFromEntranceSlopeMm, entranceSlope } from './tube/bow.js';
export { fresnelReflectance, type Reflectance } from './tube/fresnel.js';
export {
  NAMED_WALLS,
  resolveWall,
  type TubeShape,
  type TubeSize,
  type Wall,
  type WallName,
} from './tube/tube.js';
export { absorbingEvenThroughput, coaxialDiskViewFactor } from './tube/view-factor.js';
export { type Criterion, isSeparate, RAYLEIGH_DIP, requiredDip } from './two-lamp/criterion.js';
export { type NudgedDip, nudgedDip } from './two-lamp/lattice-dip.js';
export { type PairProfile, pairDip } from './two-lamp/pair-dip.js';
export {
  type PairPrediction,
  predictPair,
  type ResolvingDistance,
  resolvingDistance,
} from './two-lamp/prediction.js';
