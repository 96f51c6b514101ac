import {
  type Acceptance,
  effectiveFNumber,
  NAMED_WALLS,
  type Random,
  resolvingDistance,
  resolveWall,
  traceAcceptance,
  tubeOf,
  type Wall,
} from '@twolamp/optics';
import type { Result, Way } from '@twolamp/session';
import { pointingScatterDeg, resolvingNow } from './measured-ways.js';

/** What a rebuilt array would have otherwise; what is left out stays. */
export interface Rebuild {
  readonly boreMm?: number | undefined;
  readonly lengthMm?: number | undefined;
  readonly matteWalls?: boolean | undefined;
}

const FARTHEST_MM = 200_000;
const SETTLED = 0.005;
const MOST_ROUNDS = 8;
/** Full width at half maximum of a normal distribution, in standard deviations: 2√(2 ln 2). */
const FWHM = 2 * Math.sqrt(2 * Math.LN2);
/** How well theory tells one array from another, a share of the distance. Judgement, no source. */
const THEORY_SHARE = 0.03;
const NORMAL_95 = 1.96;
/** Taken for the gloss's uncertainty where the result has none. Judgement, no source. */
const GLOSS_UNKNOWN = 0.2;
const RAD_PER_DEG = Math.PI / 180;

/** The array as it would be rebuilt. Tubes stand as far apart as the wider bore asks. */
function rebuiltArray(array: Result['array'], { boreMm, lengthMm }: Rebuild): Result['array'] {
  const bore = boreMm ?? array.tubeBoreMm;
  const wall = array.backPitchMm - array.tubeBoreMm;
  const back = Math.max(bore + wall, bore);
  return {
    ...array,
    tubeBoreMm: bore,
    tubeLengthMm: lengthMm ?? array.tubeLengthMm,
    backPitchMm: back,
    frontPitchMm: array.frontPitchMm + back - array.backPitchMm,
  };
}

/** Resolving distance and light that theory gives an array, with a wall. */
interface Theory {
  readonly distanceMm: number;
  readonly widthRad: number;
  readonly throughput: number;
  readonly bound: 'within' | 'beyond' | 'nearer';
}

function theoryOf(
  array: Result['array'],
  wall: Wall,
  lamps: { readonly spacingMm: number; readonly requiredDip: number },
  random: Random,
): Theory {
  const tube = tubeOf(array);
  const far = traceAcceptance(tube, wall, random);
  const find = (acceptance: Acceptance) =>
    resolvingDistance(
      array,
      () => acceptance,
      lamps.spacingMm,
      lamps.requiredDip,
      array.tubeLengthMm,
      FARTHEST_MM,
    );
  let acceptance = far;
  let found = find(far);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const before = found.distanceMm;
    acceptance = traceAcceptance(tube, wall, random, { lampDistanceMm: before });
    found = find(acceptance);
    if (Math.abs(found.distanceMm / before - 1) < SETTLED) break;
  }
  return { ...found, widthRad: acceptance.widthRad, throughput: far.evenThroughput };
}

/** What rebuilding brings: theory, calibrated by what was measured of this builder's work. */
export interface Rebuilt {
  readonly array: Result['array'];
  readonly resolvingM: Way['resolvingM'];
  readonly effectiveFNumber: NonNullable<Way['effectiveFNumber']>;
}

/**
 * Theory for the new dimensions with the measured gloss (or matte walls), times measured over theory for the present
 * array. The builder's misplacing of tubes' ends is carried over in millimetres: it blurs a short tube more. Widths add as
 * squares.
 *
 * @param typical - absolute transmission of a typical tube as measured; null where it isn't known
 * @param random - draws the traced rays
 */
export function rebuilt(
  result: Result,
  rebuild: Rebuild,
  typical: { readonly value: number; readonly uncertainty: number | null } | null,
  random: () => Random,
): Rebuilt {
  const { wall, resolving } = result;
  const array = rebuiltArray(result.array, rebuild);
  const known = wall ? { index: wall.index, extinction: wall.extinction, gloss: wall.gloss } : null;
  const present = resolveWall(known ?? 'matte black');
  const glossUncertainty = wall?.uncertainty ?? GLOSS_UNKNOWN;
  const wallWith = (gloss: number): Wall =>
    rebuild.matteWalls ? NAMED_WALLS['matte black'] : { ...present, gloss: Math.min(1, Math.max(0, gloss)) };
  const lamps = {
    spacingMm: 1000 * (resolving?.spacingM ?? 0.06),
    requiredDip: Math.max(resolving?.requiredDip ?? 0.265, 1e-3),
  };
  const now = theoryOf(result.array, present, lamps, random());
  const then = theoryOf(array, wallWith(present.gloss), lamps, random());
  const glossier = theoryOf(array, wallWith(present.gloss + glossUncertainty), lamps, random());
  const byGloss = Math.abs(glossier.distanceMm / then.distanceMm - 1);
  const scatterMm = Math.tan((pointingScatterDeg(result) ?? 0) * RAD_PER_DEG) * result.array.tubeLengthMm;
  const blurred = ({ widthRad }: Theory, lengthMm: number) =>
    Math.hypot(widthRad, (FWHM * scatterMm) / lengthMm) / widthRad;
  const measured = resolvingNow(result);
  let resolvingM: Way['resolvingM'] = null;
  if (measured?.bound === 'within' && measured.low !== null && measured.high !== null) {
    const calibration = (1000 * measured.value) / now.distanceMm;
    const blur = blurred(now, result.array.tubeLengthMm) / blurred(then, array.tubeLengthMm);
    const value = (calibration * blur * then.distanceMm) / 1000;
    const end = (at: number, sign: number) =>
      value * (1 + sign * Math.hypot(at / measured.value - 1, NORMAL_95 * byGloss, NORMAL_95 * THEORY_SHARE));
    resolvingM = {
      value,
      low: Math.max(0, end(measured.low, -1)),
      high: end(measured.high, 1),
      basis: 'predicted',
      bound: then.bound,
    };
  }
  const throughput = Math.min(
    1,
    then.throughput * (typical && !rebuild.matteWalls ? typical.value / now.throughput : 1),
  );
  const fNumber = effectiveFNumber(throughput).sine;
  const lightShare = Math.hypot(
    typical?.uncertainty != null ? typical.uncertainty / typical.value : 0,
    glossier.throughput / then.throughput - 1,
  );
  return {
    array,
    resolvingM,
    effectiveFNumber: { value: fNumber, uncertainty: (fNumber * lightShare) / 2, basis: 'predicted' },
  };
}
