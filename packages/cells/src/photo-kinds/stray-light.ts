import { madScale, median } from '@twolamp/numeric';
import type { SeenAs } from '@twolamp/session';
import { quantile } from './quantile.js';
import type { SpotLight } from './photo-look.js';
import { TUNING } from './tuning.js';

/** How bright a photo is where it is darkest, and where it is brightest; full scales. */
export interface LightRange {
  /** Between the cells. */
  readonly gap: number;
  /** In the cells. */
  readonly spot: number;
}

export function lightRange({ gap, spot }: SpotLight): LightRange {
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
 * A camera's black level is in all photos as well, but doesn't grow with the exposure. Each black level that fits the other
 * photos is tried.
 *
 * @param others - photos with lit cells, of known exposure
 */
export function judgeStray(dark: Exposed, others: readonly Exposed[]): SeenAs | null {
  if (others.length < TUNING.strayPhotos) return null;
  const spots = others.map(({ range, exposure }) => (range.spot - range.gap) / exposure);
  if (Math.max(...spots) < TUNING.strayContrast * Math.min(...spots)) return null;
  const expected = darkGaps(dark, others);
  if (expected.length === 0) return null;
  const least = (1 - TUNING.strayDeparture) * Math.min(...expected) - TUNING.blackLight;
  const most = (1 + TUNING.strayDeparture) * Math.max(...expected) + TUNING.blackLight;
  if (dark.range.gap > most) return 'bright';
  return dark.range.gap < least ? 'darker than the stray light' : null;
}

/** Black levels tried, from nothing to all of the darkest photo's gaps. */
const BLACK_LEVELS = 11;

/**
 * Least and greatest light that the gaps of a dark shot may show, for each black level with which the other photos agree in
 * their stray light. The least is that of the photo with the darkest gaps for its exposure: scattered light only adds to it.
 */
function darkGaps(dark: Exposed, others: readonly Exposed[]): number[] {
  const gaps = others.map(({ range }) => range.gap);
  const darkest = Math.min(...gaps);
  return Array.from({ length: BLACK_LEVELS }, (_, n) => (darkest * n) / (BLACK_LEVELS - 1)).flatMap(
    (black) => {
      const strays = others.map(({ range, exposure }) => (range.gap - black) / exposure);
      const stray = median(strays);
      const misses = others.map(({ range, exposure }) => (range.gap - black - stray * exposure) / range.gap);
      return madScale(misses, 0) < TUNING.strayScatter
        ? [Math.min(...strays), Math.max(...strays)].map((one) => black + one * dark.exposure)
        : [];
    },
  );
}

/**
 * Share of the light in an even shot's spots that the dark shot has as well.
 *
 * @param exposureRatio - exposure of the dark shot over that of the even shot; null = not known, taken as alike
 */
export function strayShare(dark: SpotLight, even: SpotLight, exposureRatio: number | null): number {
  const spot = median(even.spot.filter(Number.isFinite));
  return spot > 0 ? median(dark.gap.filter(Number.isFinite)) / (exposureRatio ?? 1) / spot : 0;
}
