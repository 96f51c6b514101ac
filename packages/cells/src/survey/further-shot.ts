import {
  type ArraySpec,
  type DarkShot,
  InputError,
  type PhotoExposure,
  type Shot,
  type ShotPhoto,
} from '@twolamp/session';
import { type Exposure, exposureOf } from '../light/exposure.js';
import type { PhotoLook } from '../photo-kinds/photo-look.js';
import { type MeasuredPhoto, measurePhoto } from './measure-photo.js';
import type { SurveyedSheet } from './surveyed-sheet.js';

/** Size of the photo in which the cells were found, and its name. */
export interface EvenPhoto {
  readonly name: string;
  readonly width: number;
  readonly height: number;
}

/** What all shots but the first even one and the dark ones are measured with. Plain data: it may go to another thread. */
export interface KnownSheet {
  /** Tells from which photos and exposures the sheet was learned. */
  readonly key: string;
  readonly sheet: SurveyedSheet;
  readonly even: EvenPhoto;
  /** The look of the even photo. */
  readonly look: PhotoLook;
  readonly array: ArraySpec;
}

/** What a further photo gave. Plain data. */
export interface FurtherPhoto extends MeasuredPhoto {
  /** What the photo itself says of its exposure. */
  readonly exif: PhotoExposure;
  /** With which it was measured. */
  readonly exposure: Exposure;
}

/** A shot that is measured with a sheet known before. */
export type FurtherShot = Exclude<Shot, DarkShot>;

/**
 * Measures one photo by itself; each may be measured on another thread.
 *
 * @throws InputError where the photo has another size, or can't be measured
 */
export function measureFurther(known: KnownSheet, shot: FurtherShot, photo: ShotPhoto): FurtherPhoto {
  requireSameSize(photo, known.even, shot.photo);
  const exif = { exposureS: photo.exposureS, iso: photo.iso, aperture: photo.aperture };
  const measured = measurePhoto(
    known.sheet,
    shot,
    photo,
    { name: known.even.name, look: known.look },
    known.array,
  );
  return { ...measured, exif, exposure: exposureOf(shot, exif) };
}

/** @throws InputError where a photo has another size than the even one */
export function requireSameSize(photo: ShotPhoto, even: EvenPhoto, name: string): void {
  if (photo.width === even.width && photo.height === even.height) return;
  throw new InputError(
    name,
    `the photo has ${photo.width} × ${photo.height} pixels, ${even.name} has ${even.width} × ${even.height}`,
    'all photos from one camera position, in one size and orientation',
  );
}
