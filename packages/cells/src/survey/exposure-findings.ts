import { type Finding, finding, type Shot } from '@twolamp/session';
import type { CompletedExposures } from '../light/exposure.js';

/** Kinds of shots whose figures compare brightness from photo to photo. */
const COMPARED: readonly Shot['kind'][] = ['even', 'bare', 'lamp'];

/**
 * Names the photos that don't say how they were exposed.
 *
 * @param shots - one a photo
 */
export function exposureFindings(
  shots: readonly Shot[],
  { taken, unknown, exposures }: CompletedExposures,
): Finding[] {
  const found: Finding[] = [];
  const compared = (n: number): boolean => COMPARED.includes(shots[n].kind);
  const photos = (numbers: readonly number[]): string[] => numbers.map((n) => shots[n].photo);
  for (const kind of COMPARED) {
    const own = taken.filter((n) => shots[n].kind === kind);
    if (own.length === 0) continue;
    const { seconds } = exposures[own[0]];
    found.push(
      finding('exposure-taken', 'photos', { photos: photos(own), exposureS: seconds ?? Number.NaN }),
    );
  }
  const left = unknown.filter(compared);
  if (left.length > 0) found.push(finding('exposure-missing', 'photos', { photos: photos(left) }));
  const dark = unknown.filter((n) => shots[n].kind === 'dark');
  if (dark.length > 0) found.push(finding('dark-exposure-missing', 'photos', { photos: photos(dark) }));
  return found;
}
