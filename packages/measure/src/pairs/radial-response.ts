import { circleOverlap, HALF_MAXIMUM_SHIFT } from '@twolamp/optics';

/**
 * How a tube's light falls off when a lamp leaves its axis, the same to all sides.
 *
 * Argument: slope of the lamp's direction against the tube's axis (tangent, radians for small angles), 0 or more.
 */
export interface RadialResponse {
  /** Light, 1 on the axis. */
  readonly at: (slope: number) => number;
  /** Slope at which the light is down to half of that on the axis. */
  readonly halfWidthSlope: number;
  /** Slope at which hardly any light is left. */
  readonly reachSlope: number;
}

/** A core between that of an absorbing tube and a Gaussian, and a tail. */
export interface ResponseShape {
  /** Half width at half maximum of the core, a slope. */
  readonly coreSlope: number;
  /** Share of the overlap of two circles in the core; the rest is Gaussian. */
  readonly overlapShare: number;
  /** Share of the tail in the light on the axis, 0 to 1. */
  readonly tailShare: number;
  /** Half width at half maximum of the tail against that of the core, above 1. */
  readonly tailWidth: number;
}

/** Light that counts as hardly any. */
const REACH_LEVEL = 0.003;
const BISECTIONS = 50;
const FARTHEST_CORES = 30;
const TABLE_NODES = 600;
/** Where the table ends, against the reach. */
const TABLE_REACH = 1.5;
/** Where a hyperbolic secant is down to half. */
const SECANT_HALF = Math.log(2 + Math.sqrt(3));

/** A Gaussian of standard deviation `sigmaSlope`. */
export function gaussianResponse(sigmaSlope: number): RadialResponse {
  return {
    at: (slope) => Math.exp(-0.5 * (slope / sigmaSlope) ** 2),
    halfWidthSlope: Math.sqrt(2 * Math.LN2) * sigmaSlope,
    reachSlope: Math.sqrt(-2 * Math.log(REACH_LEVEL)) * sigmaSlope,
  };
}

/**
 * The response of an array's tubes: the overlap of two circles that absorbing walls give, a Gaussian into which
 * pointing errors and the lamp's size blur it, and the exponential tail that reflecting walls add.
 *
 * Source of the overlap: see optics, absorbingTransmission; of the rest: common practice, no source.
 */
export function shapedResponse(shape: ResponseShape): RadialResponse {
  const { coreSlope, overlapShare, tailShare, tailWidth } = shape;
  const at = (slope: number) => {
    const u = slope / coreSlope;
    const core =
      overlapShare * circleOverlap(HALF_MAXIMUM_SHIFT * u) + (1 - overlapShare) * Math.exp(-Math.LN2 * u * u);
    return (1 - tailShare) * core + tailShare / Math.cosh((SECANT_HALF * u) / tailWidth);
  };
  const farthest = FARTHEST_CORES * coreSlope * Math.max(1, tailWidth);
  const reachSlope = fallsTo(REACH_LEVEL, at, farthest);
  return {
    at: tabulated(at, TABLE_REACH * reachSlope),
    halfWidthSlope: fallsTo(0.5, at, farthest),
    reachSlope,
  };
}

/** Read from a table, straight between its nodes: fits ask for it millions of times. */
function tabulated(at: (slope: number) => number, farthest: number): (slope: number) => number {
  const perSlope = TABLE_NODES / farthest;
  const table = Float64Array.from({ length: TABLE_NODES + 1 }, (_, index) => at(index / perSlope));
  return (slope) => {
    const place = slope * perSlope;
    if (!(place < TABLE_NODES)) return 0;
    const before = Math.floor(place);
    return table[before]! + (place - before) * (table[before + 1]! - table[before]!);
  };
}

/** Slope at which a falling function crosses a level, between 0 and `farthest`. */
function fallsTo(level: number, at: (slope: number) => number, farthest: number): number {
  let low = 0;
  let high = farthest;
  for (let step = 0; step < BISECTIONS; step++) {
    const middle = (low + high) / 2;
    if (at(middle) < level) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
