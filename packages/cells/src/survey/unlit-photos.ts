import { type ArraySpec, type Finding, finding, type SeenAs, type Shot } from '@twolamp/session';
import type { CellLight } from '@twolamp/flux';
import { lightsNoOpenTube } from '../photo-kinds/judge-shot.js';
import type { LightRange } from '../photo-kinds/stray-light.js';
import { TUNING } from '../photo-kinds/tuning.js';

/** A photo's light with its exposure, see exposureFactor; null where the exposure isn't known. */
interface Exposed {
  readonly range: LightRange;
  readonly exposure: number | null;
}

/** What a photo without light looks like. */
const UNLIT: readonly SeenAs[] = ['noise', 'nothing lit'];

/**
 * The findings on a photo. A doubt that it shows nothing becomes `shows-no-light`, which is no doubt, where the shot lights only
 * tubes that pass next to nothing and the photo has next to no light for its exposure.
 *
 * @param photo - as it is
 * @param even - the first even shot's photo, and the light of its cells
 */
export function judgedUnlit(
  findings: readonly Finding[],
  shot: Shot,
  photo: Exposed,
  even: Exposed & { readonly light: CellLight },
  array: ArraySpec,
): readonly Finding[] {
  const blamed = ({ code, values }: Finding) =>
    code === 'doubt-photo-kind' && UNLIT.includes((values as { seenAs: SeenAs }).seenAs);
  if (!findings.some(blamed) || !isUnlit(photo, even) || !lightsNoOpenTube(shot, even.light, array)) {
    return findings;
  }
  return findings.map((one) => (blamed(one) ? finding('shows-no-light', shot.photo, {}) : one));
}

function isUnlit(photo: Exposed, even: Exposed): boolean {
  if (photo.exposure === null || even.exposure === null) return false;
  const light = ({ gap, spot }: LightRange) => spot - gap;
  return light(photo.range) / photo.exposure < (TUNING.unlitShare * light(even.range)) / even.exposure;
}
