import { madScale, median } from '@twolamp/numeric';
import type { SeenAs } from '@twolamp/session';
import { quantile } from './quantile.js';
import type { PhotoLook } from './photo-look.js';
import { TUNING } from './tuning.js';

/** How bright a photo is where it is darkest, and where it is brightest; full scales. */
export interface LightRange {
  /** Between the cells. */
  readonly gap: number;
  /** In the cells. */
  readonly spot: number;
}

export function lightRange({ gap, spot }: PhotoLook): LightRange {
  return { gap: quantile(gap, 0.05), spot: quantile(spot, 0.98) };
}

/** A photo's light and its exposure, relative to the others'. */
interface Exposed {
  readonly range: LightRange;
  readonly exposure: number;
}

/**
 * Whether a dark shot has another light than what lies between the cells of all other photos.
 *
 * Stray light of the room is the same in all photos, for their exposure. Light that the sheet scatters isn't: it follows
 * the cells' light. So only where the gaps agree while the cells differ is it stray light, and a dark shot must have it.
 *
 * @param others - photos with lit cells, of known exposure
 */
export function judgeStray(dark: Exposed, others: readonly Exposed[]): SeenAs | null {
  if (others.length < TUNING.strayPhotos) return null;
  const gaps = others.map(({ range, exposure }) => range.gap / exposure);
  const spots = others.map(({ range, exposure }) => (range.spot - range.gap) / exposure);
  const stray = median(gaps);
  const agree = madScale(gaps, stray) < TUNING.strayScatter * stray;
  if (!agree || Math.max(...spots) < TUNING.strayContrast * Math.min(...spots)) return null;
  const expected = stray * dark.exposure;
  const beyond = dark.range.gap - expected;
  if (Math.abs(beyond) < TUNING.strayDeparture * expected + TUNING.blackLight) return null;
  return beyond > 0 ? 'bright' : 'darker than the stray light';
}

/**
 * Share of the light in an even shot's spots that the dark shot has as well.
 *
 * @param exposureRatio - exposure of the dark shot over that of the even shot; null = not known, taken as alike
 */
export function strayShare(dark: PhotoLook, even: PhotoLook, exposureRatio: number | null): number {
  const spot = median(even.spot.filter(Number.isFinite));
  return spot > 0 ? median(dark.gap.filter(Number.isFinite)) / (exposureRatio ?? 1) / spot : 0;
}
