import type { ReducedPhoto, Session } from '@twolamp/session';
import { type Exposure, exposureOf } from '../light/exposure.js';
import { judgeDark } from '../photo-kinds/judge-photo.js';
import {
  darkExposure,
  darkFor,
  darksOf,
  type KeptEven,
  type OpenSurvey,
  referenceOf,
  textOf,
} from './kept-photos.js';
import { surveySheet } from './surveyed-sheet.js';

interface TimedDark {
  readonly serial: number;
  readonly frame: { readonly plane: ReducedPhoto; readonly exposure: Exposure };
}

function timedDarks(survey: OpenSurvey, even: KeptEven, session: Session): TimedDark[] {
  return darksOf(session).flatMap((shot) => {
    const dark = darkFor(survey, even, shot);
    if (!dark || judgeDark(dark.look, dark.speck, even.found.look, darkExposure(dark, even, session)))
      return [];
    return [{ serial: dark.serial, frame: { plane: dark.picture, exposure: exposureOf(shot, dark.exif) } }];
  });
}

/** Tells what the sheet is learned from. */
export function sheetKey(survey: OpenSurvey, even: KeptEven, session: Session): string {
  const own = `${even.serial} ${textOf(exposureOf(referenceOf(session)!, even.exif))}`;
  const darks = timedDarks(survey, even, session);
  return [own, ...darks.map(({ serial, frame }) => `${serial} ${textOf(frame.exposure)}`)].join(', ');
}

/** The sheet as learned from the even shot and the dark shots taken in so far. */
export function learnedSheet(
  survey: OpenSurvey,
  even: KeptEven,
  session: Session,
): NonNullable<OpenSurvey['learned']> {
  const key = sheetKey(survey, even, session);
  if (survey.learned?.key === key) return survey.learned;
  const reference = referenceOf(session)!;
  const frames = timedDarks(survey, even, session).map(({ frame }) => frame);
  const exposure = exposureOf(reference, even.exif);
  const sheet = surveySheet(even.found, reference, exposure, frames, session.array);
  survey.learned = { key, sheet };
  return survey.learned;
}
