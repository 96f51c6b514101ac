import type { ShotKind } from '@twolamp/session';
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

/**
 * What was shot, by the look of a photo. Two lamps that merge look like one, and one tube like one far lamp: where it
 * matters, a person must look.
 *
 * @param brightest - the highest `peak` of all photos of the folder
 */
export function guessFromLook(look: Glance, brightest: number): ShotKind {
  if (look.peak < DARK * brightest) return 'dark';
  if (look.litShare >= BROAD && look.peak < STRAY * brightest) return 'dark';
  if (look.litShare >= BROAD) return look.texture >= TUBES ? 'even' : 'bare';
  return look.elongation >= LONG ? 'pair' : 'lamp';
}
