import type { TubeLayout } from '@twolamp/optics';
import { centreInField, type CommonField, improveField, shapeInField } from './common-field.js';
import type { EvenTrend } from './even-trend.js';
import { learnProfile, type PooledReadings, profileKnots } from './learn-profile.js';
import { firstModelError, type ModelError } from './model-error.js';
import { poolReadings } from './pool-readings.js';
import { fitHeight, startShape } from './start-shapes.js';
import type { Sweep } from './sweep.js';
import { brightestReading, type TubeData, tubeData } from './tube-data.js';
import {
  type AcceptanceProfile,
  acceptanceProfile,
  evaluateShape,
  lightOfShape,
  SHAPE_SIZE,
  roundShape,
  type TubeShape,
} from './tube-shape.js';
import { FIRST_EVEN_SCATTER, LEAST_OWN_LIGHT, LEAST_REFERENCE_TUBES } from './tuning.js';

/** Steps that find a first profile; heights and profile follow each other. */
const FIRST_STEPS = 6;
/** The same where the directions that all have in common follow too. */
const EVEN_STEPS = 10;

/** What is known of an acceptance before any tube's own direction is. */
export interface FirstAcceptance {
  readonly acceptance: AcceptanceProfile;
  /** Light of the sweep over the transmission in even light, the same for all tubes; null without even light. */
  readonly evenTrend: EvenTrend | null;
  /** Reading of a typical tube whose axis meets the lamp. */
  readonly height: number;
  /** What a tube's fit starts from. */
  readonly start: (tube: number, data: TubeData) => TubeShape;
}

/** @param scale - mean radius of the acceptance, roughly. @param reach - least place of the last knot */
export function profileFrom(
  { rounded }: Sweep,
  scale: number,
  reach: number,
  pooled: PooledReadings,
): AcceptanceProfile {
  return acceptanceProfile(learnProfile(profileKnots(scale, rounded, reach), scale, pooled));
}

/**
 * A first profile, as if all tubes looked along their nominal axes, with each tube's height left free.
 *
 * @param height - what a typical tube shows of its best lamp
 * @param scale - mean radius of the acceptance, roughly
 * @param reach - least place of the profile's last knot
 */
export function firstAcceptance(
  sweep: Sweep,
  tubes: readonly number[],
  height: number,
  scale: number,
  reach: number,
): FirstAcceptance {
  const data = tubes.map((tube) => tubeData(sweep, tube, firstModelError(height), null));
  let shapes = data.map(() => roundShape(height, 0, 0));
  let found: AcceptanceProfile | null = null;
  for (let step = 0; step < FIRST_STEPS || found === null; step++) {
    const acceptance = profileFrom(sweep, scale, reach, poolReadings(null, data, shapes, 0));
    shapes = data.map((one) => roundShape(fitHeight(acceptance, one, 0, 0).height, 0, 0));
    found = acceptance;
  }
  const acceptance = found;
  return { acceptance, evenTrend: null, height, start: (_, data) => startShape(acceptance, data) };
}

/**
 * The same with the tubes' heights in proportion to their transmission in even light. A tube that few lamps light tells
 * nothing of the profile while its height is free, and few lamps before a large array light most tubes weakly: only their
 * even light puts all of them on one scale.
 *
 * @param tubes - lit ones, to learn from
 * @param relative - N relative transmissions; tubes that pass hardly any light, or an unknown part, are left out
 * @param scale - mean radius of the acceptance, roughly
 * @param reach - least place of the profile's last knot
 * @returns null where too few are left
 */
export function firstAcceptanceInEvenLight(
  sweep: Sweep,
  layout: TubeLayout,
  tubes: readonly number[],
  relative: ArrayLike<number>,
  scale: number,
  reach: number,
): FirstAcceptance | null {
  const used = tubes.filter((tube) => relative[tube] > LEAST_OWN_LIGHT);
  if (used.length < LEAST_REFERENCE_TUBES) return null;
  const height = used.reduce((most, tube) => {
    const readings = sweep.response.subarray(tube * sweep.lamps, (tube + 1) * sweep.lamps);
    return Math.max(most, brightestReading(readings) / relative[tube]);
  }, 0);
  const first = used.map((tube) => tubeData(sweep, tube, firstModelError(height), null));
  let field: CommonField = { across: [0, 0, 0], up: [0, 0, 0], height };
  let data = first;
  let found: AcceptanceProfile | null = null;
  for (let step = 0; step < EVEN_STEPS || found === null; step++) {
    const shapes = used.map((tube) => shapeInField(field, layout, tube, relative[tube]));
    const acceptance = profileFrom(sweep, scale, reach, poolReadings(found, data, shapes, 0));
    data = used.map((tube, i) =>
      withExpectedError(sweep, tube, first[i], acceptance, shapes[i], firstModelError(field.height)),
    );
    field = improveField(acceptance, field, layout, used, data, relative);
    found = acceptance;
  }
  const acceptance = found;
  const log = Math.log(lightOfShape(acceptance, roundShape(field.height, 0, 0)));
  return {
    acceptance,
    evenTrend: { logs: new Float64Array(sweep.tubes).fill(log), scatter: FIRST_EVEN_SCATTER },
    height: field.height,
    start: (tube, one) => {
      const [across, up] = centreInField(field, layout, tube);
      return roundShape(fitHeight(acceptance, one, across, up).height, across, up);
    },
  };
}

/** Readings with the model error of what a tube should show: that of what it does show would give faint ones more weight. */
function withExpectedError(
  sweep: Sweep,
  tube: number,
  data: TubeData,
  { profile }: AcceptanceProfile,
  shape: TubeShape,
  { share, floor }: ModelError,
): TubeData {
  const gradient = new Float64Array(SHAPE_SIZE);
  const noise = sweep.sigma.subarray(tube * sweep.lamps, (tube + 1) * sweep.lamps);
  const sigma = noise.map((own, k) =>
    Math.hypot(own, share * evaluateShape(profile, shape, data.across[k], data.up[k], gradient), floor),
  );
  return { ...data, sigma };
}
