import {
  type ArraySpec,
  type DarkShot,
  type Finding,
  finding,
  InputError,
  type PhotoRecord,
  type SeenAs,
  type Shot,
  type ShotPhoto,
} from '@twolamp/session';
import { median } from '@twolamp/numeric';
import {
  type BareLevels,
  bareLevels,
  type CellLight,
  lightOfCells,
  type Lit,
  measureShot,
} from '@twolamp/flux';
import { reducePhoto } from '@twolamp/places';
import { takeDarkOff } from '../light/dark.js';
import { exposureOf } from '../light/exposure.js';
import { fromNoCamera, judgeBare, judgeSpots, litUnlike } from '../photo-kinds/judge-photo.js';
import { type SpotTwists, spotTwists } from '../photo-kinds/noise-for-light.js';
import { judgeShot } from '../photo-kinds/judge-shot.js';
import { photoKindDoubt } from '../photo-kinds/photo-kind-doubt.js';
import { brightestSpeck, lookAt, type PhotoLook, spotLight } from '../photo-kinds/photo-look.js';
import { type LightRange, lightRange } from '../photo-kinds/stray-light.js';
import { TUNING } from '../photo-kinds/tuning.js';
import { judgeClipping, type SurveyedSheet } from './surveyed-sheet.js';

/** A shift of more than this share of a pitch is no drift: the stand was moved, and cells could be mistaken. */
export const LARGEST_DRIFT_PITCHES = 0.35;

/** What one photo gave. Plain data. */
export interface MeasuredPhoto {
  readonly record: PhotoRecord;
  /** Light of the cells, full scale × pixels of the reduced picture; null of a bare shot. */
  readonly light: CellLight | null;
  /** Light of the bare sheet; null of other shots, and where it is clipped. */
  readonly bare: BareLevels | null;
  /** Of the photo as it is, the dark shot's light in it. */
  readonly range: LightRange;
  /** Of an even shot; null of others. */
  readonly twists: SpotTwists | null;
  readonly findings: readonly Finding[];
}

function clippedPixels(photo: ShotPhoto): number {
  if ('reduced' in photo) return photo.clippedPixels;
  const { length } = photo.clipped;
  let clipped = 0;
  for (let at = photo.clipped.indexOf(1); at >= 0 && at < length; at++) clipped += photo.clipped[at];
  return clipped;
}

/** What the photos' list says of a photo: its exposure as the photo has it. */
export function recordOf(shot: Shot, photo: ShotPhoto, driftPx: [number, number] | null): PhotoRecord {
  return {
    photo: shot.photo,
    kind: shot.kind,
    widthPx: photo.width,
    heightPx: photo.height,
    exposureS: photo.exposureS,
    iso: photo.iso,
    clippedShare: clippedPixels(photo) / (photo.width * photo.height),
    driftPx,
    takenAt: photo.takenAt ?? null,
  };
}

/**
 * Light of the cells, or of the bare sheet, in one photo.
 *
 * @param sheet - from surveySheet
 * @param even - name and look, as it is, of the photo that the sheet was learned from
 * @param array - as stated
 * @throws InputError where the camera had moved, or an even shot is clipped all over
 */
export function measurePhoto(
  sheet: SurveyedSheet,
  shot: Exclude<Shot, DarkShot>,
  photo: ShotPhoto,
  even: { readonly name: string; readonly look: PhotoLook },
  array: ArraySpec,
): MeasuredPhoto {
  const exposure = exposureOf(shot, photo);
  const reduced = reducePhoto(photo, sheet.factor);
  const places = [sheet.model.cells, sheet.tubes, array.arrangement] as const;
  const look = lookAt(reduced, ...places);
  const picture = takeDarkOff(reduced, exposure, sheet.darks);
  const speck = () => brightestSpeck(reduced, sheet.model.cells, sheet.tubes, look.gap);
  const alien =
    fromNoCamera(look, even.look) ??
    (shot.kind === 'bare'
      ? judgeBare(look, speck(), even.look, sheet)
      : judgeSpots(spotLight(picture, ...places), look.spotNoise, sheet.spotLight));
  const range = lightRange(look);
  // A photo that is not what its shot says gives no light.
  const withoutLight = (why: Finding): MeasuredPhoto => ({
    record: recordOf(shot, photo, null),
    light: null,
    bare: null,
    range,
    twists: null,
    findings: [why],
  });
  const leftOut = (as: SeenAs) =>
    withoutLight(photoKindDoubt(shot, as, shot.kind === 'even' ? even.name : null));
  if (alien) return leftOut(alien);
  if (shot.kind === 'bare') {
    const { clipped, level, sigma } = bareLevels(picture, sheet.model.cells);
    const ofTubes = (values: Float64Array) => Float64Array.from(sheet.tubes, (k) => values[k]);
    const bare = { level: ofTubes(level), sigma: ofTubes(sigma) };
    if (median(level) < TUNING.bareOverDark * median(look.spot)) return leftOut('nothing lit');
    const clipping = finding('bare-clipped', 'transmission.absolute', { photo: shot.photo });
    const record = recordOf(shot, photo, null);
    return {
      record,
      light: null,
      bare: clipped ? null : bare,
      range,
      twists: null,
      findings: clipped ? [clipping] : [],
    };
  }
  const { light: all, shift } = measureShot(picture, sheet.model, litBy(shot));
  const light = lightOfCells(all, sheet.tubes);
  if (Math.max(...light.flux) < TUNING.besideHoles * Math.max(...all.flux)) {
    return withoutLight(finding('holes-alone-lit', shot.photo, {}));
  }
  const seenAs = judgeShot(shot, light, sheet.light.flux, array);
  if (seenAs) return leftOut(seenAs);
  const drift: [number, number] | null = shift && [shift[0] * sheet.factor, shift[1] * sheet.factor];
  if (shift && drift) requireStill(drift, Math.hypot(...shift) / sheet.model.cells.pitchPx, shot);
  const findings =
    shot.kind === 'even'
      ? [...judgeClipping(light, array, shot), ...unlike(shot, light, sheet, even.name)]
      : [];
  const twists = shot.kind === 'even' ? spotTwists(reduced, sheet.model.cells, sheet.tubes) : null;
  return { record: recordOf(shot, photo, drift), light, bare: null, range, twists, findings };
}

/** Tells where a further even shot is lit unlike the first. */
function unlike({ photo }: Shot, light: CellLight, sheet: SurveyedSheet, against: string): Finding[] {
  const scatter = litUnlike(light, sheet.light);
  return scatter === null ? [] : [finding('even-lit-unlike', photo, { against, scatter })];
}

function litBy({ kind }: Shot): Lit {
  if (kind === 'single') return 'alone';
  return kind === 'lamp' || kind === 'pair' ? 'by lamps' : 'evenly';
}

function requireStill(driftPx: [number, number], pitches: number, shot: Shot): void {
  if (pitches <= LARGEST_DRIFT_PITCHES) return;
  throw new InputError(
    shot.photo,
    `the camera had moved by some ${Math.hypot(...driftPx).toFixed(0)} pixels, ${pitches.toFixed(2)} of a pitch: cells could be mistaken for their neighbours`,
    'an even shot from where the camera stands now, listed before it; or this photo shot again',
  );
}
