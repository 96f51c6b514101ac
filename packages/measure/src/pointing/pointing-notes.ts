import type { LampShot, Note } from '@twolamp/session';
import type { LitShot } from '@twolamp/cells';
import { median } from '@twolamp/numeric';
import type { TubePointing } from './measure-pointing.js';
import { LEAST_LAMPS } from './sweep.js';

/** A sweep of this many places is what the guide to the bench asks for: 9 × 7. */
const FULL_SWEEP = 63;

/** What the sweep at hand can't give, and what a fuller one would bring. */
export function pointingNotes(
  shots: readonly LitShot<LampShot>[],
  tubes: readonly (TubePointing | null)[] | null,
): Note[] {
  const lamps = shots.length;
  if (tubes === null) {
    const says =
      lamps < LEAST_LAMPS
        ? `where the tubes look needs lamp shots from ${LEAST_LAMPS} places or more; there are ${lamps}`
        : `hardly any tube is clearly lit by three of the ${lamps} lamps or more: lamps closer together, or longer exposures`;
    return [{ about: 'pointing', says }];
  }
  const notes: Note[] = [];
  const known = tubes.filter((tube) => tube !== null);
  const widthDeg = median(known.map((tube) => tube.acceptanceWidthDeg));
  const spacingDeg = lampSpacingDeg(shots);
  if (known.length === 0 || spacingDeg > widthDeg) {
    const width = known.length === 0 ? '' : ` and the tubes see ${widthDeg.toFixed(2)}° wide`;
    notes.push({
      about: 'pointing',
      says:
        `the lamps stand ${spacingDeg.toFixed(2)}° apart${width}: places closer together would show more tubes ` +
        'to several lamps',
    });
  }
  if (known.length > 0 && lamps < FULL_SWEEP) {
    const unsureDeg = median(known.map((tube) => tube.uncertaintyDeg));
    const betterDeg = unsureDeg * Math.sqrt(lamps / FULL_SWEEP);
    notes.push({
      about: 'pointing',
      says:
        `${lamps} lamp places leave each direction unsure by ${unsureDeg.toFixed(3)}°; ${FULL_SWEEP} over the same ` +
        `field would leave about ${betterDeg.toFixed(3)}°`,
    });
  }
  return notes;
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
