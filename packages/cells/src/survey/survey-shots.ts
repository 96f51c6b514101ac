import type { Session, Shot, ShotPhoto } from '@twolamp/session';
import { type FurtherPhoto, type FurtherShot, type KnownSheet, measureFurther } from './further-shot.js';
import {
  furtherShots,
  knownSheet,
  nextShot,
  type OpenSurvey,
  openSurvey,
  surveyOf,
  surveyShot,
  takeInFurther,
} from './open-survey.js';
import type { Survey } from './survey.js';

/** Called before each photo: how many are done, of how many, and which comes next. */
export type Progress = (done: number, of: number, what: string) => void;

/**
 * Begins to measure further shots elsewhere, such as on other threads, side by side.
 *
 * @returns for each shot what `measureFurther` gives of it; null where it was not or could not be measured there
 */
export type MeasureElsewhere = (
  known: KnownSheet,
  shots: readonly FurtherShot[],
) => readonly Promise<FurtherPhoto | null>[];

/**
 * Surveys a whole session. The first even shot and the dark ones are measured here, one at a time; the others too, or
 * elsewhere.
 *
 * @param session - what was shot
 * @param load - gives a shot's photo
 * @param onProgress - called before each photo
 * @param elsewhere - measures further shots; those for which it gives null, whatever the reason, are measured here,
 *   so that the first one at fault in the session's order is the one that is told
 * @throws InputError where a photo can't be measured, with its name
 * @throws RangeError where the session has no even shot
 */
export async function surveyShots(
  session: Session,
  load: (shot: Shot) => Promise<ShotPhoto>,
  onProgress: Progress,
  elsewhere?: MeasureElsewhere | undefined,
): Promise<Survey> {
  const survey = openSurvey();
  let done = 0;
  for (let shot = nextShot(survey, session); isFirst(shot, survey); shot = nextShot(survey, session)) {
    onProgress(done++, session.shots.length, shot.photo);
    surveyShot(survey, session, shot, await load(shot));
  }
  const further = furtherShots(survey, session);
  if (further.length > 0) {
    const known = knownSheet(survey, session);
    const begun = elsewhere?.(known, further);
    for (const [n, shot] of further.entries()) {
      onProgress(done++, session.shots.length, shot.photo);
      const measured = (await begun?.[n]) ?? measureFurther(known, shot, await load(shot));
      takeInFurther(survey, shot, known, measured);
    }
  }
  const whole = surveyOf(survey, session);
  if (!whole) throw new RangeError('session must have an even shot');
  return whole;
}

/** Whether others are measured with what this shot gives: the first even shot, and the dark ones. */
function isFirst(shot: Shot | null, { even }: OpenSurvey): shot is Shot {
  return shot !== null && (even === null || shot.kind === 'dark');
}
