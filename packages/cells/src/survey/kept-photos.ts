import type {
  ArraySpec,
  DarkShot,
  EvenShot,
  PhotoExposure,
  PhotoRecord,
  ReducedPhoto,
  Session,
  Shot,
} from '@twolamp/session';
import { comparable, type Exposure, exposureFactor, exposureOf } from '../light/exposure.js';
import type { PhotoLook } from '../photo-kinds/photo-look.js';
import type { EvenPhoto, FurtherPhoto } from './further-shot.js';
import type { FoundCells, SurveyedSheet } from './surveyed-sheet.js';

export interface Kept {
  readonly record: PhotoRecord;
  /** What the photo itself says of its exposure. */
  readonly exif: PhotoExposure;
  /** Two photos of one name differ in it. */
  readonly serial: number;
}

export interface KeptEven extends Kept {
  readonly found: FoundCells;
  /** The array that the cells were found for, as text. */
  readonly array: string;
}

export interface KeptDark extends Kept {
  readonly picture: ReducedPhoto;
  readonly look: PhotoLook;
  readonly speck: number;
}

export interface KeptPhoto extends Kept, FurtherPhoto {
  /** The key of the sheet with which it was measured. */
  readonly sheet: string;
  /** What else its shot said that counts. */
  readonly stated: string;
}

/**
 * A survey that grows photo by photo. Plain data that structured cloning copies: it may go to a worker or into a browser's
 * storage. Only the functions of this folder change it.
 */
export interface OpenSurvey {
  even: KeptEven | null;
  readonly darks: Map<string, KeptDark>;
  /** All other photos, by name. */
  readonly photos: Map<string, KeptPhoto>;
  /** The sheet as learned last; the key tells from which photos and exposures. */
  learned: { readonly key: string; readonly sheet: SurveyedSheet } | null;
  serial: number;
}

/** A survey without photos. */
export function openSurvey(): OpenSurvey {
  return { even: null, darks: new Map(), photos: new Map(), learned: null, serial: 0 };
}

/** What is known of each shot, in the session's order; shots that nothing is known of are left out. */
export function keptFor(survey: OpenSurvey, even: KeptEven, { shots }: Session): Map<Shot, Kept> {
  const kept = new Map<Shot, Kept>();
  for (const shot of shots) {
    const photo = survey.photos.get(shot.photo);
    if (shot.photo === even.record.photo) kept.set(shot, even);
    else if (shot.kind === 'dark') {
      const dark = darkFor(survey, even, shot);
      if (dark) kept.set(shot, dark);
    } else if (photo?.record.kind === shot.kind) kept.set(shot, photo);
  }
  return kept;
}

export const isDark = (kept: Kept): kept is KeptDark => kept.record.kind === 'dark';
export const isMeasured = (kept: Kept): kept is KeptPhoto => 'light' in kept;

/** The even shot in which the cells are found: the session's first one. */
export function referenceOf({ shots }: Session): EvenShot | undefined {
  return shots.find((shot): shot is EvenShot => shot.kind === 'even');
}

export function darksOf({ shots }: Session): DarkShot[] {
  return shots.filter((shot): shot is DarkShot => shot.kind === 'dark');
}

/** What is known of the session's first even shot, found for the session's array. */
export function evenFor({ even }: OpenSurvey, session: Session): KeptEven | null {
  const fits = even?.record.photo === referenceOf(session)?.photo && even?.array === figuresOf(session.array);
  return fits ? even : null;
}

/** What is known of a dark shot, reduced as the even shot is. */
export function darkFor(
  { darks }: OpenSurvey,
  { found }: KeptEven,
  { photo }: DarkShot,
): KeptDark | undefined {
  const dark = darks.get(photo);
  const fits =
    dark?.picture.factor === found.picture.factor &&
    dark.record.widthPx === found.width &&
    dark.record.heightPx === found.height;
  return fits ? dark : undefined;
}

/** Exposure of a dark shot over that of the even shot; null where it isn't known. */
export function darkExposure(dark: KeptDark, even: KeptEven, session: Session): number | null {
  const shot = session.shots.find(({ photo }) => photo === dark.record.photo)!;
  const exposures = [exposureOf(shot, dark.exif), exposureOf(referenceOf(session)!, even.exif)] as const;
  return comparable(exposures) ? exposureFactor(exposures[0]) / exposureFactor(exposures[1]) : null;
}

/** What measuring a photo takes from its shot, besides its kind and exposure: the tube that is lit alone. */
export const statedOf = (shot: Shot): string => (shot.kind === 'single' ? `${shot.row} ${shot.column}` : '');

export const textOf = (exposure: Exposure): string =>
  `${exposure.seconds} ${exposure.iso} ${exposure.aperture}`;

/** What finding and learning the cells takes from the stated array. */
export function figuresOf({
  rows,
  columns,
  arrangement,
  shiftedRows,
  tubeBoreMm,
  backPitchMm,
  map,
  unfilled,
  tubes,
}: ArraySpec): string {
  const outline = [unfilled, tubes, ...(map ?? [])];
  return [rows, columns, arrangement, shiftedRows, tubeBoreMm, backPitchMm, ...outline].join(' ');
}

export function evenPhotoOf({ found, record }: KeptEven): EvenPhoto {
  return { name: record.photo, width: found.width, height: found.height };
}
