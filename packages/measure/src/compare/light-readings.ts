import type { CellResult } from '@twolamp/session';
import { madScale, median } from '../statistics/robust.js';
import type { MatchedTube } from './matched-tubes.js';

/** Fewer tubes that are healthy and measured in both sessions bear no common scale; a judgement, no source. */
export const LEAST_HEALTHY = 8;

/**
 * How well the light of the even and the bare shot of one session agree, relative: lamps and skies waver, and shutters don't
 * keep their marked times. Shared by all tubes of a session, and in no stated uncertainty. A judgement, no source.
 */
const STEADINESS = 0.02;

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
 * All tubes measured in both sessions. Basis 'fitted': each session in units of its own typical tube, so that what all tubes
 * have in common is lost. Basis 'absolute': both in units of the earlier session's typical tube.
 */
export interface LightReadings {
  readonly basis: 'fitted' | 'absolute';
  readonly readings: readonly LightReading[];
  /** Relative standard uncertainty that all ratios later / earlier share; 0 for the basis 'fitted'. */
  readonly shared: number;
}

function isKnown(value: number | null, uncertainty: number | null): boolean {
  return value !== null && uncertainty !== null && uncertainty > 0;
}

function hasRelative({ transmission: t }: CellResult): boolean {
  return isKnown(t.relative, t.relativeUncertainty);
}

function hasAbsolute({ transmission: t }: CellResult): boolean {
  return isKnown(t.absolute, t.absoluteUncertainty);
}

/** A session's typical absolute transmission, with relative standard uncertainties. */
export interface AbsoluteLevel {
  readonly typical: number;
  /** What is uncertain about all tubes alike. */
  readonly shared: number;
  /** What the tubes' scatter leaves uncertain about the typical one. */
  readonly sampling: number;
}

/** Standard uncertainty of a median over that of a mean of normal values: √(π/2). */
const MEDIAN_OVER_MEAN = Math.sqrt(Math.PI / 2);

/**
 * Absolute transmission of a session's healthy tubes as a whole.
 *
 * @param healthy - the tubes to go by
 * @returns null where fewer than {@link LEAST_HEALTHY} of them have an absolute transmission
 */
export function absoluteLevel(healthy: readonly CellResult[]): AbsoluteLevel | null {
  const known = healthy.filter((cell) => hasAbsolute(cell) && cell.transmission.absolute! > 0);
  if (known.length < LEAST_HEALTHY) return null;
  // Nearly all of a tube's stated uncertainty comes from the sheet's halo and the bare shot, which all tubes share.
  const stated = median(known.map(({ transmission: t }) => t.absoluteUncertainty! / t.absolute!));
  const values = known.map(({ transmission }) => transmission.absolute!);
  const typical = median(values);
  return {
    typical,
    shared: Math.hypot(stated, STEADINESS),
    sampling: (MEDIAN_OVER_MEAN * madScale(values)) / Math.sqrt(values.length) / typical,
  };
}

function readingsOf(
  tubes: readonly MatchedTube[],
  has: (cell: CellResult) => boolean,
  values: (
    tube: MatchedTube,
  ) => Pick<LightReading, 'earlier' | 'later' | 'earlierUncertainty' | 'laterUncertainty'>,
): LightReading[] {
  return tubes.flatMap((tube, index) => {
    if (!(hasRelative(tube.earlier) && hasRelative(tube.later) && has(tube.earlier) && has(tube.later)))
      return [];
    const one = values(tube);
    const healthy =
      tube.earlier.fault === 'none' && tube.later.fault === 'none' && one.earlier > 0 && one.later > 0;
    return [{ index, healthy, ...one }];
  });
}

/** Light of the tubes that were measured in both sessions: absolute where both can say it, else relative. */
export function lightReadings(tubes: readonly MatchedTube[]): LightReadings {
  const healthy = tubes.filter(
    ({ earlier, later }) =>
      earlier.fault === 'none' && later.fault === 'none' && hasAbsolute(earlier) && hasAbsolute(later),
  );
  const before = absoluteLevel(healthy.map(({ earlier }) => earlier));
  const after = absoluteLevel(healthy.map(({ later }) => later));
  if (before === null || after === null) {
    const relative = readingsOf(tubes, hasRelative, ({ earlier, later }) => ({
      earlier: earlier.transmission.relative!,
      earlierUncertainty: earlier.transmission.relativeUncertainty!,
      later: later.transmission.relative!,
      laterUncertainty: later.transmission.relativeUncertainty!,
    }));
    return { basis: 'fitted', readings: relative, shared: 0 };
  }
  // What a tube doesn't share with the others is in the uncertainty of its relative transmission: a share of a typical tube.
  const unit = before.typical;
  const absolute = readingsOf(tubes, hasAbsolute, ({ earlier, later }) => ({
    earlier: earlier.transmission.absolute! / unit,
    earlierUncertainty: earlier.transmission.relativeUncertainty!,
    later: later.transmission.absolute! / unit,
    laterUncertainty: (later.transmission.relativeUncertainty! * after.typical) / unit,
  }));
  return { basis: 'absolute', readings: absolute, shared: Math.hypot(before.shared, after.shared) };
}
