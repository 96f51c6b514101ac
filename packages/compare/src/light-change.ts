import { type Comparison, type ComparisonFinding, finding, type TubeChange } from '@twolamp/session';
import {
  benjaminiHochberg,
  biweightLocation,
  extraScatter,
  madScale,
  median,
  normalTail,
} from '@twolamp/numeric';
import {
  DISAGREE_SHARE,
  DISAGREE_TIMES,
  FALSE_DISCOVERY_RATE,
  LEAST_HEALTHY,
  LEAST_LIGHT_SCATTER,
} from './tuning.js';
import { type LightReading, type LightReadings, lightReadings } from './light-readings.js';
import { lightBeside } from './light-beside.js';
import type { MatchedTube } from './matched-tubes.js';

export interface LightChanges {
  readonly scale: Comparison['scale'];
  /** One a tube; null where it wasn't measured in both sessions. */
  readonly changes: readonly TubeChange['transmission'][];
  readonly findings: readonly ComparisonFinding[];
}

/**
 * A change of all tubes together counts as shown beyond so many standard uncertainties: two-sided chance of 0.1 %, since one
 * wrong call would flag every tube.
 */
const LEVEL_SIGMAS = 3.29;

/** Later over earlier, common to the tubes that are healthy in both. */
interface CommonScale {
  readonly factor: number;
  /** Standard uncertainty of the fit alone. */
  readonly uncertainty: number;
}

function commonScale(healthy: readonly LightReading[]): CommonScale {
  const logs = healthy.map(({ earlier, later }) => Math.log(later / earlier));
  const factor = Math.exp(biweightLocation(logs));
  return { factor, uncertainty: (factor * madScale(logs)) / Math.sqrt(logs.length) };
}

interface Change {
  readonly earlier: number;
  readonly later: number;
  readonly change: number;
  /** Standard uncertainty without the scatter between the sessions. */
  readonly stated: number;
  /**
   * By what this tube's share in that scatter is multiplied: it grows with brightness, but dim cells take on errors of their
   * neighbours' light.
   */
  readonly size: number;
}

/**
 * @param divisor - takes the later light to the earlier session's scale
 * @param divisorUncertainty - relative
 */
function changeOf(reading: LightReading, divisor: number, divisorUncertainty: number): Change {
  const { earlier, earlierUncertainty, laterUncertainty } = reading;
  const later = reading.later / divisor;
  return {
    earlier,
    later,
    change: later - earlier,
    stated: Math.hypot(earlierUncertainty, laterUncertainty / divisor, later * divisorUncertainty),
    size: Math.max(1, (earlier + later) / 2),
  };
}

function scatterBetween(changes: readonly Change[]): number {
  return extraScatter(
    changes.map((one) => one.change),
    changes.map((one) => one.stated),
    changes.map((one) => one.size),
  );
}

function disagreement(extra: number, healthy: readonly LightReading[]): ComparisonFinding[] {
  const stated = median(
    healthy.map(({ earlierUncertainty, laterUncertainty }) =>
      Math.hypot(earlierUncertainty, laterUncertainty),
    ),
  );
  if (!(extra > DISAGREE_TIMES * stated && extra > DISAGREE_SHARE)) return [];
  return [finding('sessions-disagree', 'tubes', { scatter: extra, stated })];
}

function basisFinding(
  { basis, shared }: LightReadings,
  factor: number,
  levelShown: boolean,
): ComparisonFinding {
  if (basis === 'fitted') return finding('common-light-unseen', 'scale', {});
  return finding(levelShown ? 'common-light-changed' : 'common-light-not-changed', 'scale', {
    change: factor - 1,
    sharedUncertainty: shared,
  });
}

/** Standard error of a scale by the median absolute deviation, as a share of it, times √count; normal distribution. */
const MAD_ERROR = 1.17;

/**
 * Share of the tubes' stated uncertainties that is in changes. Both sessions see the same tubes: what the array's trend leaves open of
 * them is stated for both and cancels. How much that is, the healthy tubes tell, most of which should be unchanged: by how much less
 * they scatter than stated, two standard errors of that allowed for.
 */
function shareInChanges(changes: readonly Change[]): number {
  const scatter = madScale(changes.map(({ change, stated }) => change / stated));
  return Math.min(1, scatter * (1 + (2 * MAD_ERROR) / Math.sqrt(changes.length)));
}

/**
 * Change of each tube's light between two sessions, in units of the earlier session's typical tube.
 *
 * A common factor is fitted to the tubes that are healthy in both sessions (biweight of log ratios). From relative transmission
 * it is always taken out. From absolute transmission it is taken out only where it isn't shown to differ from 1; else it is part
 * of the changes, and its uncertainty of theirs. Uncertainty: what both sessions don't share of the stated ones, the factor's, a
 * scatter between the sessions that makes most healthy tubes agree, and what brighter neighbours' light may do to a tube.
 * Significance: two-sided normal test, Benjamini–Hochberg over the array.
 *
 * @param sameBore - whether the tubes' stated bore and pitch are the same in both sessions
 * @param pitchMm - between tubes at the sheet
 */
export function lightChanges(
  tubes: readonly MatchedTube[],
  sameBore: boolean,
  pitchMm: number,
): LightChanges {
  const light = lightReadings(tubes, sameBore);
  const beside = lightBeside(tubes, pitchMm);
  const healthy = light.readings.filter((one) => one.healthy);
  const changes: TubeChange['transmission'][] = tubes.map(() => null);
  if (healthy.length < LEAST_HEALTHY) {
    const counts = { healthy: healthy.length, needed: LEAST_HEALTHY };
    return { scale: null, changes, findings: [finding('light-scale-unknown', 'scale', counts)] };
  }
  const { factor, uncertainty } = commonScale(healthy);
  const relative = uncertainty / factor;
  const levelShown =
    light.basis === 'absolute' &&
    Math.abs(Math.log(factor)) > LEVEL_SIGMAS * Math.hypot(relative, light.shared);

  const between = healthy.map((one) => changeOf(one, factor, relative));
  const share = shareInChanges(between);
  const extra = scatterBetween(between);
  const changed = light.readings.map((reading) => {
    const one = {
      ...reading,
      earlierUncertainty: share * reading.earlierUncertainty,
      laterUncertainty: share * reading.laterUncertainty,
    };
    const change = levelShown
      ? changeOf(one, 1, Math.hypot(relative, light.shared))
      : changeOf(one, factor, relative);
    const lacking = Math.max(0, beside[reading.index] - (change.earlier + change.later) / 2);
    return {
      ...change,
      uncertainty: Math.hypot(change.stated, extra * change.size, LEAST_LIGHT_SCATTER * lacking),
    };
  });
  const { found } = benjaminiHochberg(
    changed.map((one) => Math.min(1, 2 * normalTail(Math.abs(one.change) / one.uncertainty))),
    FALSE_DISCOVERY_RATE,
  );
  light.readings.forEach(({ index }, i) => {
    const { earlier, later, change, uncertainty } = changed[i];
    changes[index] = { earlier, later, change, uncertainty, significant: found[i] === 1 };
  });
  return {
    scale: { later: factor, uncertainty: Math.hypot(uncertainty, factor * light.shared), basis: light.basis },
    changes,
    findings: [basisFinding(light, factor, levelShown), ...disagreement(extra, healthy)],
  };
}
