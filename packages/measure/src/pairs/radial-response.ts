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

/** An absorbing tube's core, blurred, and a tail. */
export interface ResponseShape {
  /** About the half width at half maximum of the core, a slope. */
  readonly coreSlope: number;
  /** Share of the core's squared width that is blur, 0 to 1: 0 = the bare overlap of two circles, 1 = a Gaussian. */
  readonly blurShare: number;
  /** Share of the tail in the light on the axis, 0 to 1. */
  readonly tailShare: number;
  /** Half width at half maximum of the tail against that of the core, above 1. */
  readonly tailWidth: number;
}

/** Light that counts as hardly any. */
const REACH_LEVEL = 0.003;
/** Of the core's squared width; a Gaussian is as good as reached. */
const LEAST_OVERLAP = 0.05;
/**
 * Points that stand for a round Gaussian of standard deviation 1: Gauss–Laguerre in half the squared radius, even in
 * angle. Source: Abramowitz & Stegun, table 25.9, n = 4.
 */
const BLUR = [
  { halfSquare: 0.32254768961939, weight: 0.60315410434163 },
  { halfSquare: 1.7457611011583, weight: 0.3574186924378 },
  { halfSquare: 4.5366202969211, weight: 0.038887908515005 },
  { halfSquare: 9.3950709123011, weight: 0.00053929470556133 },
].flatMap(({ halfSquare, weight }) =>
  Array.from({ length: 6 }, (_, index) => {
    const radius = Math.sqrt(2 * halfSquare);
    const angle = ((index + 0.5) * Math.PI) / 6;
    return { along: radius * Math.cos(angle), aside: radius * Math.sin(angle), weight: weight / 6 };
  }),
);
const BISECTIONS = 40;
const FARTHEST_CORES = 30;
const TABLE_NODES = 300;
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
 * The response of an array's tubes: the overlap of two circles that absorbing walls give, blurred by a Gaussian as
 * pointing errors and the size of the lamp do, and the exponential tail that reflecting walls add.
 *
 * Source of the overlap: see optics, absorbingTransmission; of the rest: common practice, no source.
 */
export function shapedResponse(shape: ResponseShape): RadialResponse {
  const { coreSlope, blurShare, tailShare, tailWidth } = shape;
  const overlapSlope = coreSlope * Math.sqrt(Math.max(1 - blurShare, LEAST_OVERLAP));
  const blurSlope = (coreSlope * Math.sqrt(blurShare)) / Math.sqrt(2 * Math.LN2);
  const core = (slope: number) => {
    let sum = 0;
    for (const { along, aside, weight } of BLUR) {
      const x = slope + along * blurSlope;
      const y = aside * blurSlope;
      sum += weight * circleOverlap((HALF_MAXIMUM_SHIFT * Math.sqrt(x * x + y * y)) / overlapSlope);
    }
    return sum;
  };
  const axis = core(0);
  const at = (slope: number) =>
    ((1 - tailShare) * core(slope)) / axis +
    tailShare / Math.cosh((SECANT_HALF * slope) / (coreSlope * tailWidth));
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
