import { bisect } from '@twolamp/numeric';
import { evaluateProfile, halfRadius, type Profile, profileMoment } from './profile.js';

/**
 * One tube's acceptance as a vector of parameters: the profile g that all tubes share, scaled, moved and deformed,
 *
 *   height · Σ shareᵢ · g(√((|slopes − centre − smear · offsetᵢ| · e^−width)² + blunt²)).
 *
 * Blunt: in a bowed tube even light along its direction meets the wall, which flattens the top. Smear: the sum of three
 * shifted copies is skewed to one side. Shares and offsets keep the centre the centre of gravity, and the smear points
 * to the long side.
 */
export type TubeShape = Float64Array;

/** Places in a {@link TubeShape}. */
export const HEIGHT = 0;
export const CENTRE_ACROSS = 1;
export const CENTRE_UP = 2;
export const WIDTH = 3;
export const BLUNT = 4;
export const SMEAR_ACROSS = 5;
export const SMEAR_UP = 6;
export const SHAPE_SIZE = 7;
/** Number of leading parameters, in which tubes of one shape differ. */
export const SHARED_SIZE = 4;

const SMEAR = [
  { share: 4 / 7, offset: -4 / 7 },
  { share: 2 / 7, offset: 3 / 7 },
  { share: 1 / 7, offset: 10 / 7 },
] as const;
const UNSMEARED = [{ share: 1, offset: 0 }] as const;

/** The profile all tubes share, with what follows from it; slopes. */
export interface AcceptanceProfile {
  readonly profile: Profile;
  readonly halfRadius: number;
  /** ∫ r · profile dr */
  readonly area: number;
  /** ∫ r² · profile dr ÷ area */
  readonly meanRadius: number;
}

export function acceptanceProfile(profile: Profile): AcceptanceProfile {
  const area = profileMoment(profile, 1);
  return { profile, area, halfRadius: halfRadius(profile), meanRadius: profileMoment(profile, 2) / area };
}

/**
 * Light of a tube in one direction, and how it changes with each parameter.
 *
 * @param gradient - SHAPE_SIZE values, written
 */
export function evaluateShape(
  profile: Profile,
  shape: TubeShape,
  across: number,
  up: number,
  gradient: Float64Array,
): number {
  const x = across - shape[CENTRE_ACROSS];
  const y = up - shape[CENTRE_UP];
  const blunt = shape[BLUNT];
  const smearAcross = shape[SMEAR_ACROSS];
  const smearUp = shape[SMEAR_UP];
  const shrink = Math.exp(-2 * shape[WIDTH]);
  const height = shape[HEIGHT];
  const point = { value: 0, derivative: 0 };
  gradient.fill(0);
  for (const { share, offset } of smearAcross === 0 && smearUp === 0 ? UNSMEARED : SMEAR) {
    const alongX = x - offset * smearAcross;
    const alongY = y - offset * smearUp;
    const square = (alongX * alongX + alongY * alongY) * shrink;
    const radius = Math.sqrt(square + blunt * blunt);
    evaluateProfile(profile, radius, point);
    gradient[HEIGHT] += share * point.value;
    if (radius === 0) continue;
    const fall = (share * height * point.derivative) / radius;
    const aside = -fall * shrink * alongX;
    const upwards = -fall * shrink * alongY;
    gradient[CENTRE_ACROSS] += aside;
    gradient[CENTRE_UP] += upwards;
    gradient[WIDTH] -= fall * square;
    gradient[BLUNT] += fall * blunt;
    gradient[SMEAR_ACROSS] += offset * aside;
    gradient[SMEAR_UP] += offset * upwards;
  }
  return height * gradient[HEIGHT];
}

/** Integral of the acceptance over both slopes: the light that the tube passes of even light. */
export function lightOfShape(acceptance: AcceptanceProfile, shape: TubeShape): number {
  const blunt = shape[BLUNT];
  const area = blunt === 0 ? acceptance.area : profileMoment(acceptance.profile, 1, Math.abs(blunt));
  return 2 * Math.PI * shape[HEIGHT] * area * Math.exp(2 * shape[WIDTH]);
}

const DIRECTIONS = 24;

/**
 * Full width at half maximum, a difference of slopes: diameter of the circle whose area is that in which the acceptance
 * exceeds half its maximum.
 */
export function widthOfShape(acceptance: AcceptanceProfile, shape: TubeShape): number {
  const stretch = Math.exp(shape[WIDTH]);
  const smear = Math.hypot(shape[SMEAR_ACROSS], shape[SMEAR_UP]);
  if (shape[BLUNT] === 0 && smear === 0) return 2 * acceptance.halfRadius * stretch;
  const gradient = new Float64Array(SHAPE_SIZE);
  const along = (distance: number, cos: number, sin: number) =>
    evaluateShape(
      acceptance.profile,
      shape,
      shape[CENTRE_ACROSS] + distance * cos,
      shape[CENTRE_UP] + distance * sin,
      gradient,
    );
  // The maximum lies on the line of the smear.
  const cosSmear = smear > 0 ? shape[SMEAR_ACROSS] / smear : 1;
  const sinSmear = smear > 0 ? shape[SMEAR_UP] / smear : 0;
  let peakAt = 0;
  let peak = 0;
  for (let step = -60; step <= 60; step++) {
    const value = along((step / 40) * smear, cosSmear, sinSmear);
    if (value <= peak) continue;
    peak = value;
    peakAt = (step / 40) * smear;
  }
  const reach = acceptance.profile.knots.at(-1)! * stretch + 2 * smear;
  let squares = 0;
  for (let index = 0; index < DIRECTIONS; index++) {
    const angle = (2 * Math.PI * index) / DIRECTIONS;
    const isInside = (radius: number) => {
      const x = peakAt * cosSmear + radius * Math.cos(angle);
      const y = peakAt * sinSmear + radius * Math.sin(angle);
      return along(1, x, y) > peak / 2;
    };
    squares += bisect(isInside, 0, reach, 30).low ** 2 / DIRECTIONS;
  }
  return 2 * Math.sqrt(squares);
}

/** Shape of a typical tube that looks this way. */
export function roundShape(height: number, across: number, up: number): TubeShape {
  const shape = new Float64Array(SHAPE_SIZE);
  shape[HEIGHT] = height;
  shape[CENTRE_ACROSS] = across;
  shape[CENTRE_UP] = up;
  return shape;
}

/** A shape scaled so that it passes `light` times the even light of a typical tube. */
export function shapeOfLight(
  acceptance: AcceptanceProfile,
  shape: TubeShape,
  typical: TubeShape,
  light: number,
): TubeShape {
  const scaled = Float64Array.from(shape);
  scaled[HEIGHT] = 1;
  scaled[HEIGHT] = (light * lightOfShape(acceptance, typical)) / lightOfShape(acceptance, scaled);
  return scaled;
}
