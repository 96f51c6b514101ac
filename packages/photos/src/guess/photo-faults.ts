import type { ShotKind } from '@twolamp/session';
import type { Glance } from './glance.js';

/** What would spoil a measurement, or make it poorer. */
export interface PhotoFault {
  readonly fault: 'clipped' | 'too dark' | 'not dark' | 'blurred';
  /** True where the shot cannot be used as it is. */
  readonly spoils: boolean;
  readonly says: string;
}

/** Few clipped pixels spoil a few cells; more, the shot. */
const CLIPPED_FEW = 1e-5;
const CLIPPED_MANY = 0.01;
/** Share of full scale that the brightest pixels should reach: below, noise weighs more than needed; far below, all. */
const DIM = 0.1;
const BLACK = 0.01;
/** Stray light is weaker than this share of the light that is measured. */
const NOT_DARK = 0.5;
/** Below, tubes can hardly be told apart on an even shot. */
const FLAT = 0.15;
/** A shot with less of the even shot's contrast between tubes and gaps than this is out of focus. */
const SOFTER = 0.6;

const percent = (share: number) => `${Number((share * 100).toPrecision(2))} %`;

function exposureFaults(kind: ShotKind, { bright, clippedShare }: Glance, even: Glance): PhotoFault[] {
  if (kind === 'dark') {
    if (bright < NOT_DARK * even.bright) return [];
    const says = `it shows light up to ${percent(bright)} of full scale: were the lamps off?`;
    return [{ fault: 'not dark', spoils: true, says }];
  }
  if (clippedShare > CLIPPED_FEW) {
    const says = `${percent(clippedShare)} of its pixels are clipped: use a shorter exposure`;
    return [{ fault: 'clipped', spoils: clippedShare > CLIPPED_MANY, says }];
  }
  if (bright < DIM) {
    const says = `its brightest pixels reach ${percent(bright)} of full scale: use a longer exposure`;
    return [{ fault: 'too dark', spoils: bright < BLACK, says }];
  }
  return [];
}

function focusFaults(kind: ShotKind, { texture }: Glance, even: Glance): PhotoFault[] {
  if (kind === 'dark' || kind === 'bare') return [];
  if (kind === 'even') {
    if (texture >= FLAT) return [];
    const says =
      'tubes can hardly be told from the gaps between them: focus on the sheet, lay it flat against the array';
    return [{ fault: 'blurred', spoils: true, says }];
  }
  if (texture >= SOFTER * even.texture) return [];
  const says = 'it is softer than the even shot: focus by hand, and do not change the focus between shots';
  return [{ fault: 'blurred', spoils: false, says }];
}

/**
 * What is wrong with a photo, by its look.
 *
 * @param even - the look of the even shot taken with the same focus, or of the photo itself where it is that shot
 */
export function photoFaults(kind: ShotKind, look: Glance, even: Glance): PhotoFault[] {
  return [...exposureFaults(kind, look, even), ...focusFaults(kind, look, even)];
}
