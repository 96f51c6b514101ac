import { type AbsoluteLevel, absoluteLevel, isKnown, ratioUncertainty } from './absolute-level.js';
import type { MatchedTube } from './matched-tubes.js';

/** Light of one tube in both sessions, with the standard uncertainties that it doesn't share with the other tubes. */
export interface LightReading {
  /** Index of the tube in the list of matched tubes. */
  readonly index: number;
  readonly earlier: number;
  readonly earlierUncertainty: number;
  readonly later: number;
  readonly laterUncertainty: number;
  /** Healthy in both sessions: of the kind of which most should be unchanged. */
  readonly healthy: boolean;
}

/**
 * All tubes measured in both sessions but holes open in both. Basis 'fitted': each session in units of its own typical tube, so that what all tubes
 * have in common is lost. Basis 'absolute': both in units of the earlier session's typical tube.
 */
export interface LightReadings {
  readonly basis: 'fitted' | 'absolute';
  readonly readings: readonly LightReading[];
  /** Relative standard uncertainty that all ratios later / earlier share; 0 for the basis 'fitted'. */
  readonly shared: number;
}

type Light = Pick<LightReading, 'earlier' | 'later' | 'earlierUncertainty' | 'laterUncertainty'>;

/**
 * Each session in units of its own typical tube; null where the tube wasn't measured in both, or is an open hole in both: most holes are
 * brighter than the photo's scale, so that what was read is a bound, and another one in each session.
 */
function relativeLight({ earlier, later }: MatchedTube): Light | null {
  if (earlier.fault === 'open' && later.fault === 'open') return null;
  const [before, after] = [earlier.transmission, later.transmission];
  if (!isKnown(before.relative, before.relativeUncertainty)) return null;
  if (!isKnown(after.relative, after.relativeUncertainty)) return null;
  return {
    earlier: before.relative!,
    earlierUncertainty: before.relativeUncertainty!,
    later: after.relative!,
    laterUncertainty: after.relativeUncertainty!,
  };
}

/**
 * Both sessions in units of the earlier one's typical tube. What a tube doesn't share with the others is in the uncertainty of
 * its relative transmission: a share of its session's typical tube.
 */
function absoluteLight(tube: MatchedTube, before: AbsoluteLevel, after: AbsoluteLevel): Light | null {
  const relative = relativeLight(tube);
  const { absolute: earlier } = tube.earlier.transmission;
  const { absolute: later } = tube.later.transmission;
  if (relative === null || earlier === null || later === null) return null;
  return {
    earlier: earlier / before.typical,
    earlierUncertainty: relative.earlierUncertainty,
    later: later / before.typical,
    laterUncertainty: (relative.laterUncertainty * after.typical) / before.typical,
  };
}

function isHealthy({ earlier, later }: MatchedTube): boolean {
  return earlier.fault === 'none' && later.fault === 'none';
}

function readingsOf(
  tubes: readonly MatchedTube[],
  lightOf: (tube: MatchedTube) => Light | null,
): LightReading[] {
  return tubes.flatMap((tube, index) => {
    const light = lightOf(tube);
    if (light === null) return [];
    return [{ index, ...light, healthy: isHealthy(tube) && light.earlier > 0 && light.later > 0 }];
  });
}

/**
 * Light of the tubes that were measured in both sessions: absolute if known in both, otherwise relative.
 * @param sameBore - see {@link ratioUncertainty}
 */
export function lightReadings(tubes: readonly MatchedTube[], sameBore: boolean): LightReadings {
  const healthy = tubes.filter(isHealthy);
  const before = absoluteLevel(healthy.map(({ earlier }) => earlier));
  const after = absoluteLevel(healthy.map(({ later }) => later));
  if (before === null || after === null) {
    return { basis: 'fitted', readings: readingsOf(tubes, relativeLight), shared: 0 };
  }
  return {
    basis: 'absolute',
    readings: readingsOf(tubes, (tube) => absoluteLight(tube, before, after)),
    shared: ratioUncertainty(before, after, sameBore),
  };
}
