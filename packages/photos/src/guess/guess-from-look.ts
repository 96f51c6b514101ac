import type { PhotoExposure, ShotKind } from '@twolamp/session';
import type { Glance } from './glance.js';

/** Darker than this share of the set's brightest photo, nothing was lit. */
const DARK = 0.02;
/** A photo that is bright all over, but below this share, shows stray light: the room as it is during the shots. */
const STRAY = 0.1;
/** From this share of the picture on, the whole front was lit and no lamp. */
const BROAD = 0.12;
/** Light through tubes varies at least so much inside a block; a bare sheet's hardly. */
const TUBES = 0.1;
/** Two lamps side by side, not yet merged. */
const LONG = 1.8;

/** A photo's look and how it was exposed. */
export interface ExposedLook {
  readonly look: Glance;
  readonly exposure: PhotoExposure;
}

/** Light in the picture per exposure, t·S/N² (ISO 2720); null where the photo doesn't tell its time. */
function lightOf({ look, exposure: { exposureS, iso, aperture } }: ExposedLook): number | null {
  return exposureS === null ? null : (look.peak * (aperture ?? 1) ** 2) / (exposureS * ((iso ?? 100) / 100));
}

/**
 * What was shot, by the look of a photo. Two lamps that merge look like one, and one tube like one far lamp: where it
 * matters, a person must look.
 *
 * @param brightest - the highest `peak` of all photos of the folder
 * @param light - per exposure, that of the brightest even shot = 1; null = not known
 */
function guessFromLook(look: Glance, brightest: number, light: number | null): ShotKind {
  if (look.peak < DARK * brightest) return 'dark';
  if (look.litShare >= BROAD && (light ?? look.peak / brightest) < STRAY) return 'dark';
  if (look.litShare >= BROAD) return look.texture >= TUBES ? 'even' : 'bare';
  return look.elongation >= LONG ? 'pair' : 'lamp';
}

/** The kinds that photos of one session look like, in their order. A long dark shot may be as bright as an even one. */
export function guessFromLooks(photos: readonly ExposedLook[]): ShotKind[] {
  const brightest = Math.max(...photos.map(({ look }) => look.peak));
  const even = photos
    .filter(({ look }) => look.litShare >= BROAD && look.texture >= TUBES)
    .map((one) => lightOf(one) ?? Number.NaN);
  const most = even.length === 0 ? Number.NaN : Math.max(...even);
  return photos.map((one) => {
    const light = lightOf(one);
    return guessFromLook(one.look, brightest, light === null || !(most > 0) ? null : light / most);
  });
}
