import {
  type Acceptance,
  blurredAcceptance,
  effectiveFNumber,
  NAMED_WALLS,
  type Random,
  resolvingDistance,
  resolveWall,
  traceAcceptance,
  tubeOf,
  type Wall,
} from '@twolamp/optics';
import { NORMAL_95 } from '@twolamp/numeric';
import type { Result, Way } from '@twolamp/session';
import { pointingScatterDeg, resolvingNow } from './measured-ways.js';

/** What a rebuilt array would have otherwise; what is left out stays. */
export interface Rebuild {
  readonly boreMm?: number | undefined;
  readonly lengthMm?: number | undefined;
  /** Where left out, tubes stand as far apart as the wider bore asks. */
  readonly backPitchMm?: number | undefined;
  /** Where left out, as much wider or narrower as the back pitch is. */
  readonly frontPitchMm?: number | undefined;
  readonly matteWalls?: boolean | undefined;
}

const FARTHEST_MM = 200_000;
const SETTLED = 0.005;
const MOST_ROUNDS = 8;
/**
 * How well theory tells one array from another, a share of the distance. Judgement: simulated arrays agree to 1 %
 * (bench/weigh), but they are traced with the same walls; real ones are rougher.
 */
const THEORY_SHARE = 0.03;
/** Taken for the gloss's uncertainty where the result has none. Judgement, no source. */
const GLOSS_UNKNOWN = 0.2;
/** Lamps' usual diameter: results don't keep what was stated. Common practice, no source. */
const TYPICAL_LAMP_MM = 6;
const RAD_PER_DEG = Math.PI / 180;

/** The array as it would be rebuilt; its dimensions may contradict each other. */
export function rebuiltArray(array: Result['array'], rebuild: Rebuild): Result['array'] {
  const { boreMm: bore = array.tubeBoreMm, lengthMm: length = array.tubeLengthMm } = rebuild;
  const wall = array.backPitchMm - array.tubeBoreMm;
  const back = rebuild.backPitchMm ?? bore + wall;
  return {
    ...array,
    tubeBoreMm: bore,
    tubeLengthMm: length,
    backPitchMm: back,
    frontPitchMm: rebuild.frontPitchMm ?? array.frontPitchMm + back - array.backPitchMm,
  };
}

/** Resolving distance and light that theory gives an array, with a wall. */
interface Theory {
  readonly distanceMm: number;
  readonly throughput: number;
  readonly bound: 'within' | 'beyond' | 'nearer';
}

interface Lamps {
  readonly spacingMm: number;
  readonly requiredDip: number;
}

/** @param scatterMm - of the tubes' ends, standard deviation along each axis */
function theoryOf(
  array: Result['array'],
  wall: Wall,
  lamps: Lamps,
  scatterMm: number,
  random: Random,
): Theory {
  const tube = tubeOf(array);
  const far = traceAcceptance(tube, wall, random);
  // A lamp's disc has the variance of a quarter of its squared radius along each axis.
  const find = (acceptance: Acceptance, distanceMm: number) => {
    const sigma = Math.hypot(scatterMm / array.tubeLengthMm, TYPICAL_LAMP_MM / 4 / distanceMm);
    return resolvingDistance(
      array,
      constant(blurredAcceptance(acceptance, tube, sigma)),
      lamps.spacingMm,
      lamps.requiredDip,
      array.tubeLengthMm,
      FARTHEST_MM,
    );
  };
  let found = find(far, FARTHEST_MM);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const before = found.distanceMm;
    found = find(traceAcceptance(tube, wall, random, { lampDistanceMm: before }), before);
    if (Math.abs(found.distanceMm / before - 1) < SETTLED) break;
  }
  return { ...found, throughput: far.evenThroughput };
}

const constant =
  <T>(value: T) =>
  () =>
    value;

/** What rebuilding brings: theory, calibrated by what was measured of this builder's work. */
export interface Rebuilt {
  readonly array: Result['array'];
  readonly resolvingM: Way['resolvingM'];
  readonly effectiveFNumber: NonNullable<Way['effectiveFNumber']>;
}

/**
 * Theory for the new dimensions with the measured gloss (or matte walls), times measured over theory for the present
 * array. The builder's misplacing of tubes' ends is carried over in millimetres: it blurs a short tube more.
 *
 * @param typical - absolute transmission of a typical tube as measured; null where it isn't known
 * @param random - makes a generator for each array that is traced
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
  const lamps = {
    spacingMm: 1000 * (resolving?.spacingM ?? 0.06),
    requiredDip: Math.max(resolving?.requiredDip ?? 0.265, 1e-3),
  };
  const scatterMm = Math.tan((pointingScatterDeg(result) ?? 0) * RAD_PER_DEG) * result.array.tubeLengthMm;
  const ratioAt = (gloss: number) => {
    const glossy: Wall = { ...present, gloss };
    const now = theoryOf(result.array, glossy, lamps, scatterMm, random());
    const newWall = rebuild.matteWalls ? NAMED_WALLS['matte black'] : glossy;
    const then = theoryOf(array, newWall, lamps, scatterMm, random());
    return { now, then, farther: then.distanceMm / now.distanceMm };
  };
  const glossStep = wall?.uncertainty ?? GLOSS_UNKNOWN;
  const asMeasured = ratioAt(present.gloss);
  const otherGloss = ratioAt(present.gloss + (present.gloss + glossStep <= 1 ? glossStep : -glossStep));
  // Both arrays have the same gloss: what is not known of it counts in their ratio only.
  const byGloss = Math.abs(otherGloss.farther / asMeasured.farther - 1);
  const measured = resolvingNow(result);
  let resolvingM: Way['resolvingM'] = null;
  if (measured?.bound === 'within' && measured.low !== null && measured.high !== null) {
    const value = measured.value * asMeasured.farther;
    const end = (at: number, sign: number) =>
      value * (1 + sign * Math.hypot(at / measured.value - 1, NORMAL_95 * byGloss, NORMAL_95 * THEORY_SHARE));
    resolvingM = {
      value,
      low: Math.max(0, end(measured.low, -1)),
      high: end(measured.high, 1),
      basis: 'predicted',
      bound: asMeasured.then.bound,
    };
  }
  const calibrated = typical !== null && !rebuild.matteWalls;
  const lightOf = (one: ReturnType<typeof ratioAt>) =>
    one.then.throughput / (calibrated ? one.now.throughput : 1);
  const throughput = Math.min(1, lightOf(asMeasured) * (calibrated ? typical.value : 1));
  const fNumber = effectiveFNumber(throughput).sine;
  const lightShare = Math.hypot(
    typical?.uncertainty != null ? typical.uncertainty / typical.value : 0,
    lightOf(otherGloss) / lightOf(asMeasured) - 1,
  );
  return {
    array,
    resolvingM,
    effectiveFNumber: { value: fNumber, uncertainty: (fNumber * lightShare) / 2, basis: 'predicted' },
  };
}
