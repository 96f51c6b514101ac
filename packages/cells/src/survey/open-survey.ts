import type { Session, Shot, ShotPhoto } from '@twolamp/session';
import { reducePhoto } from '@twolamp/places';
import { exposureOf } from '../light/exposure.js';
import { brightestSpeck, lookAt } from '../photo-kinds/photo-look.js';
import {
  type FurtherPhoto,
  type FurtherShot,
  type KnownSheet,
  measureFurther,
  requireSameSize,
} from './further-shot.js';
import {
  darkFor,
  darksOf,
  evenFor,
  evenPhotoOf,
  figuresOf,
  type KeptEven,
  type OpenSurvey,
  referenceOf,
  statedOf,
  textOf,
} from './kept-photos.js';
import { learnedSheet, sheetKey } from './learned-sheet.js';
import { recordOf } from './measure-photo.js';
import { findCells, tubesOf } from './surveyed-sheet.js';

/**
 * The shot whose photo {@link surveyShot} should get next: one that is new, or that must be measured again since the even
 * shot, the dark shots or an exposure have changed. The first even shot comes first, then the dark shots, then the others
 * in the session's order.
 *
 * @param session - as it is now; shots may have been added, changed or removed since the last call
 * @returns null where no photo is wanting, or the session has no even shot
 */
export function nextShot(survey: OpenSurvey, session: Session): Shot | null {
  const reference = referenceOf(session);
  if (!reference) return null;
  const even = evenFor(survey, session);
  if (!even) return reference;
  const dark = darksOf(session).find((one) => !darkFor(survey, even, one));
  if (dark) return dark;
  return furtherShots(survey, session)[0] ?? null;
}

/**
 * All shots that {@link nextShot} asks for once the first even shot and the dark ones are taken in, in the session's
 * order: those that can be measured side by side.
 */
export function furtherShots(survey: OpenSurvey, session: Session): FurtherShot[] {
  const even = evenFor(survey, session);
  if (!even) return [];
  const key = sheetKey(survey, even, session);
  const upToDate = (shot: Shot): boolean => {
    const kept = survey.photos.get(shot.photo);
    if (!kept || kept.record.kind !== shot.kind || kept.sheet !== key) return false;
    if (kept.stated !== statedOf(shot)) return false;
    return textOf(kept.exposure) === textOf(exposureOf(shot, kept.exif));
  };
  const reference = referenceOf(session);
  return session.shots.filter(
    (shot): shot is FurtherShot => shot !== reference && shot.kind !== 'dark' && !upToDate(shot),
  );
}

/** All shots that {@link nextShot} is going to ask for. */
export function pendingShots(survey: OpenSurvey, session: Session): readonly Shot[] {
  const even = evenFor(survey, session);
  if (!even) return session.shots;
  const darks = darksOf(session).filter((one) => !darkFor(survey, even, one));
  if (darks.length === 0) return furtherShots(survey, session);
  const reference = referenceOf(session);
  return session.shots.filter((shot) => shot !== reference && (shot.kind !== 'dark' || darks.includes(shot)));
}

/**
 * Takes in one photo, in place of an earlier one of the same name. Where it can't be measured, the survey stays as it was.
 *
 * @param session - as it is now
 * @param shot - one of its shots; the first even shot goes before all others
 * @param photo - its photo; only its cells' light is kept, and small pictures of even and dark shots
 * @throws InputError where the photo or the even shot can't be measured, with its name
 */
export function surveyShot(survey: OpenSurvey, session: Session, shot: Shot, photo: ShotPhoto): void {
  const { array } = session;
  const exif = { exposureS: photo.exposureS, iso: photo.iso, aperture: photo.aperture };
  if (shot === referenceOf(session)) {
    const found = findCells(photo, array, shot.photo);
    const record = recordOf(shot, photo, [0, 0]);
    survey.even = { found, array: figuresOf(array), record, exif, serial: ++survey.serial };
    // Dark shots were looked at where the cells lay.
    survey.darks.clear();
    survey.photos.clear();
    return;
  }
  const even = evenFor(survey, session);
  if (!even) throw new RangeError(`the first even shot must be surveyed before ${shot.photo}`);
  if (shot.kind === 'dark') {
    requireSameSize(photo, evenPhotoOf(even), shot.photo);
    const picture = reducePhoto(photo, even.found.picture.factor);
    const record = recordOf(shot, photo, null);
    const { first } = even.found;
    const tubes = tubesOf(first);
    const look = lookAt(picture, first.cells, tubes, array.arrangement);
    const speck = brightestSpeck(picture, first.cells, tubes, look.gap);
    survey.darks.set(shot.photo, { picture, look, speck, record, exif, serial: ++survey.serial });
    return;
  }
  const known = knownWith(survey, even, session);
  takeInFurther(survey, shot, known, measureFurther(known, shot, photo));
}

/**
 * What further shots are measured with, by {@link measureFurther}.
 *
 * @throws InputError where the sheet can't be learned from the even shot
 * @throws RangeError before the first even shot is taken in
 */
export function knownSheet(survey: OpenSurvey, session: Session): KnownSheet {
  const even = evenFor(survey, session);
  if (!even) throw new RangeError('the first even shot must be surveyed before others');
  return knownWith(survey, even, session);
}

function knownWith(survey: OpenSurvey, even: KeptEven, session: Session): KnownSheet {
  const learned = learnedSheet(survey, even, session);
  return { ...learned, even: evenPhotoOf(even), look: even.found.look, array: session.array };
}

/** Takes in what a further shot's photo gave, measured with a sheet from {@link knownSheet}. */
export function takeInFurther(
  survey: OpenSurvey,
  shot: Shot,
  known: KnownSheet,
  measured: FurtherPhoto,
): void {
  const stated = statedOf(shot);
  survey.photos.set(shot.photo, { ...measured, sheet: known.key, stated, serial: ++survey.serial });
}

/** Forgets a photo, so that {@link nextShot} asks for it again: for one that another has replaced under its name. */
export function forgetPhoto(survey: OpenSurvey, photo: string): void {
  if (survey.even?.record.photo === photo) survey.even = null;
  survey.darks.delete(photo);
  survey.photos.delete(photo);
}
