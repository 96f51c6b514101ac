import type { Evidence, LampShot } from '@twolamp/session';
import type { LitShot } from '@twolamp/flux';
import { median } from '@twolamp/numeric';

const LEAST_LAMPS = 2;

/** Readings of all tubes under all lamps for the page: light ÷ that of a typical tube at its brightest lamp. */
export function sweepEvidence(
  lamps: readonly LitShot<LampShot>[],
  relative: Float64Array,
): Evidence['sweep'] {
  if (lamps.length < LEAST_LAMPS) return null;
  const best = Array.from(relative, (share, k) =>
    share > 0.5 ? Math.max(...lamps.map(({ light }) => light.flux[k])) : Number.NaN,
  );
  const typical = median(best);
  return {
    lamps: lamps.map(({ shot: { acrossMm, upMm, distanceMm } }) => ({ acrossMm, upMm, distanceMm })),
    response: Array.from(relative, (_, k) =>
      lamps.map(({ light }) => (light.clipped[k] ? null : Number((light.flux[k] / typical).toFixed(4)))),
    ),
  };
}
