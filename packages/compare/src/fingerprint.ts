import { madScale, median } from '@twolamp/numeric';
import { matchFingerprints, tubeLayout, tubeOfCell } from '@twolamp/optics';
import { type ComparisonFinding, finding, type Result } from '@twolamp/session';
import type { MatchedTube } from './matched-tubes.js';
import { FINGERPRINT } from './tuning.js';

/** Logarithm of each tube's relative transmission, in the array's order of tubes; NaN where it isn't known. */
function patternOf(
  array: Result['array'],
  tubes: readonly MatchedTube[],
  session: 'earlier' | 'later',
): Float64Array {
  const layout = tubeLayout(array);
  const pattern = new Float64Array(layout.count).fill(Number.NaN);
  for (const tube of tubes) {
    const { relative } = tube[session].transmission;
    // Both are of one place, whose number may differ where other holes were unfilled.
    const at = tubeOfCell(array, tube.later.cell);
    if (at >= 0 && relative !== null) pattern[at] = Math.log(Math.max(relative, FINGERPRINT.darkest));
  }
  return pattern;
}

/** Whether the tubes differ by clearly more than what they are known to: else there is no fingerprint. */
function isDistinct(tubes: readonly MatchedTube[], session: 'earlier' | 'later'): boolean {
  const known = tubes.flatMap((tube) => {
    const { relative, relativeUncertainty } = tube[session].transmission;
    return relative === null || relativeUncertainty === null ? [] : [{ relative, relativeUncertainty }];
  });
  if (known.length < FINGERPRINT.fewestTubes) return false;
  const lights = known.map(({ relative }) => relative);
  const noise = median(known.map(({ relativeUncertainty }) => relativeUncertainty));
  return madScale(lights, median(lights)) > FINGERPRINT.distinct * noise;
}

/**
 * Whether both sessions show one array in one position: the small differences of light from tube to tube are its
 * fingerprint.
 *
 * @param tubes - matched by row and column
 * @returns a finding where the later session fits turned, mirrored or moved, or where nothing fits
 */
export function fingerprintFindings(
  later: Result['array'],
  tubes: readonly MatchedTube[],
): ComparisonFinding[] {
  // Packed tubes were matched by their fingerprint.
  if (later.arrangement === 'packed') return [];
  if (!isDistinct(tubes, 'earlier') || !isDistinct(tubes, 'later')) return [];
  const { upright, seen } = matchFingerprints(
    later,
    patternOf(later, tubes, 'earlier'),
    patternOf(later, tubes, 'later'),
  );
  if (seen && seen !== upright) {
    const { mirrored, turnedDeg, across, up } = seen.view;
    return [
      finding('array-seen-otherwise', 'tubes', { mirrored, turnedDeg, acrossPitches: across, upPitches: up }),
    ];
  }
  return upright.sigmas < FINGERPRINT.lostSigmas ? [finding('fingerprints-differ', 'tubes', {})] : [];
}
