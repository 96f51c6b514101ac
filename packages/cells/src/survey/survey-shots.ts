import type { LinearPhoto, Session, Shot } from '@twolamp/session';
import { nextShot, openSurvey, surveyOf, surveyShot } from './open-survey.js';
import type { Survey } from './survey.js';

/** Called before each photo: how many are done, of how many, and which comes next. */
export type Progress = (done: number, of: number, what: string) => void;

/**
 * Surveys a whole session, one photo at a time.
 *
 * @param session - what was shot
 * @param load - gives a shot's photo
 * @param onProgress - called before each photo
 * @throws InputError where a photo can't be measured, with its name
 * @throws RangeError where the session has no even shot
 */
export async function surveyShots(
  session: Session,
  load: (shot: Shot) => Promise<LinearPhoto>,
  onProgress: Progress,
): Promise<Survey> {
  const survey = openSurvey();
  let done = 0;
  for (let shot = nextShot(survey, session); shot; shot = nextShot(survey, session)) {
    onProgress(done++, session.shots.length, shot.photo);
    surveyShot(survey, session, shot, await load(shot));
  }
  const whole = surveyOf(survey, session);
  if (!whole) throw new RangeError('session must have an even shot');
  return whole;
}
