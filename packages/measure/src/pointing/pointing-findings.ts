import { type Finding, finding, type LampShot } from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import { median } from '@twolamp/numeric';
import type { TubePointing } from './measure-pointing.js';
import type { PointingGap } from './point-tube.js';
import { LEAST_LAMPS } from './sweep.js';

/** A sweep of this many places is what the guide to the bench asks for: 9 × 7. */
const FULL_SWEEP = 63;

/** What the sweep at hand can't give, and what a fuller one would bring. */
export function pointingFindings(
  shots: readonly LitShot<LampShot>[],
  tubes: readonly (TubePointing | null)[] | null,
  gaps: readonly (PointingGap | null)[],
): Finding[] {
  const lamps = shots.length;
  if (tubes === null) {
    return lamps < LEAST_LAMPS
      ? [finding('lamps-too-few', 'pointing', { lamps, needed: LEAST_LAMPS })]
      : [finding('lamps-light-too-few-tubes', 'pointing', { lamps })];
  }
  const findings: Finding[] = [];
  const known = tubes.filter((tube) => tube !== null);
  const widthDeg = known.length === 0 ? null : median(known.map((tube) => tube.acceptanceWidthDeg));
  const spacingDeg = lampSpacingDeg(shots);
  if (widthDeg === null || spacingDeg > widthDeg) {
    findings.push(finding('lamps-far-apart', 'pointing', { spacingDeg, widthDeg }));
  }
  const unknown = tubes.length - known.length;
  if (unknown > 0) {
    const count = (...kinds: PointingGap[]) =>
      gaps.filter((gap) => gap !== null && kinds.includes(gap)).length;
    findings.push(
      finding('tubes-not-pointed', 'pointing', {
        tubes: unknown,
        dark: count('dark'),
        fewLamps: count('few lamps'),
        rim: count('beyond the sweep', 'at its rim'),
        ambiguous: count('unsure'),
      }),
    );
  }
  if (known.length > 0 && lamps < FULL_SWEEP) {
    const uncertaintyDeg = median(known.map((tube) => tube.uncertaintyDeg));
    const fullUncertaintyDeg = uncertaintyDeg * Math.sqrt(lamps / FULL_SWEEP);
    findings.push(
      finding('sweep-partial', 'pointing', {
        lamps,
        uncertaintyDeg,
        fullSweep: FULL_SWEEP,
        fullUncertaintyDeg,
      }),
    );
  }
  return findings;
}

/** Mean distance of lamps that are next to each other, from the middle of the array. */
function lampSpacingDeg(shots: readonly LitShot<LampShot>[]): number {
  const slopes = shots.map(({ shot }) => ({
    across: shot.acrossMm / shot.distanceMm,
    up: shot.upMm / shot.distanceMm,
  }));
  const nearest = slopes.map((one, i) =>
    Math.min(
      ...slopes
        .filter((_, j) => j !== i)
        .map((other) => Math.hypot(one.across - other.across, one.up - other.up)),
    ),
  );
  return (Math.atan(median(nearest)) * 180) / Math.PI;
}
