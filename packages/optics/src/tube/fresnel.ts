import { requireInside, requireNotNegative, requirePositive } from '../check.js';

/** Share of the light's power that a smooth surface reflects. */
export interface Reflectance {
  /** Polarised across the plane of incidence. */
  readonly s: number;
  /** Polarised in the plane of incidence. */
  readonly p: number;
  /** Mean of the two. */
  readonly unpolarised: number;
}

/**
 * Reflectance of a smooth surface of complex index n + ik, seen from air.
 *
 * @param incidenceRad - from the surface's normal, 0 to π/2; the angle off a tube's axis is π/2 minus this
 *
 * Source: Born & Wolf, Principles of Optics, section 1.5 and chapter 14 (absorbing media), in real numbers.
 */
export function fresnelReflectance(incidenceRad: number, index: number, extinction: number): Reflectance {
  requireInside('incidenceRad', incidenceRad, 0, Math.PI / 2);
  requirePositive('index', index);
  requireNotNegative('extinction', extinction);
  const cos = Math.cos(incidenceRad);
  const s = reflectanceS(cos, index, extinction);
  const unpolarised = unpolarisedReflectance(cos, index, extinction);
  return { s, p: 2 * unpolarised - s, unpolarised };
}

/** Nearer to grazing the departure from 1 is below rounding. */
const GRAZING = 1e-16;

// q = a + ib = √(N² − sin²θ) of the surface looked at last: a and b². Kept here so that the ray loop allocates nothing, and in an
// array, since a variable of the module would take an object of the heap for each new value.
const q = new Float64Array(2);

/** Rs = |(cos θ − q)/(cos θ + q)|². */
function reflectanceS(cos: number, index: number, extinction: number): number {
  let a: number;
  let b2: number;
  const real = index * index - extinction * extinction - (1 - cos * cos);
  if (extinction === 0) {
    a = real > 0 ? Math.sqrt(real) : 0;
    b2 = real > 0 ? 0 : -real;
  } else {
    // Of a and b the larger comes from a sum, the other from a·b = n·k, so that nothing cancels.
    const cross = index * extinction;
    const size = Math.sqrt(real * real + 4 * cross * cross);
    const larger2 = 0.5 * (size + Math.abs(real));
    const smaller2 = (cross * cross) / larger2;
    a = Math.sqrt(real > 0 ? larger2 : smaller2);
    b2 = real > 0 ? smaller2 : larger2;
  }
  q[0] = a;
  q[1] = b2;
  return ((cos - a) * (cos - a) + b2) / ((cos + a) * (cos + a) + b2);
}

/**
 * Mean of both polarisations, unchecked and without allocation, for the ray loop:
 * Rp = Rs · |(q − sin θ tan θ)/(q + sin θ tan θ)|².
 *
 * @param cos - cosine of the angle of incidence, up to 1; at {@link GRAZING} and below all light is reflected
 */
export function unpolarisedReflectance(cos: number, index: number, extinction: number): number {
  if (cos <= GRAZING) return 1;
  const s = reflectanceS(cos, index, extinction);
  const a = q[0];
  const b2 = q[1];
  const sinTan = (1 - cos * cos) / cos;
  const ratio = ((a - sinTan) * (a - sinTan) + b2) / ((a + sinTan) * (a + sinTan) + b2);
  return 0.5 * s * (1 + ratio);
}
