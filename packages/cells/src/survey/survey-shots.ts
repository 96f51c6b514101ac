import type { Session, Shot, ShotPhoto } from '@twolamp/session';
import { dropLentRoom } from '@twolamp/flux';
import { isSameView, mergedSurveys, type OpenedPosition, openedBy, partsOf } from './camera-positions.js';
import { type FurtherPhoto, type FurtherShot, type KnownSheet, measureFurther } from './further-shot.js';
import {
  forgetPhoto,
  furtherShots,
  knownSheet,
  nextShot,
  pendingShots,
  surveyShot,
  takeInFurther,
} from './open-survey.js';
import { type OpenSurvey, openSurvey } from './kept-photos.js';
import type { Survey } from './survey.js';
import { surveyOf } from './survey-of.js';

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

/** A survey that outlives a run, so that the next one measures only what has changed. Plain data. */
export interface KeptSurvey {
  /** Of the shots of the first camera position. */
  readonly survey: OpenSurvey;
  /** Further even shots that are known to open no camera position. */
  readonly unmoved: Set<string>;
}

/** One of which nothing is known yet. */
export function keptSurvey(): KeptSurvey {
  return { survey: openSurvey(), unmoved: new Set() };
}

/** Forgets photos that others have replaced, and what rests on them. */
export function forgetPhotos({ survey, unmoved }: KeptSurvey, photos: readonly string[]): void {
  for (const photo of photos) {
    forgetPhoto(survey, photo);
    unmoved.delete(photo);
  }
}

interface Hands {
  readonly load: (shot: Shot) => Promise<ShotPhoto>;
  readonly onPhoto: (what: string) => void;
  readonly elsewhere?: MeasureElsewhere | undefined;
}

/**
 * Surveys a whole session. The first even shot and the dark ones are measured here, one at a time; the others too, or
 * elsewhere.
 *
 * @param session - what was shot
 * @param load - gives a shot's photo
 * @param onProgress - called before each photo
 * @param elsewhere - measures further shots; those for which it gives null, whatever the reason, are measured here,
 *   so that the first one at fault in the session's order is the one that is told
 * @param kept - of an earlier run, its replaced photos forgotten; it takes in what is measured now
 * @throws InputError where a photo can't be measured, with its name
 * @throws RangeError where the session has no even shot
 */
export async function surveyShots(
  session: Session,
  load: (shot: Shot) => Promise<ShotPhoto>,
  onProgress: Progress,
  elsewhere?: MeasureElsewhere | undefined,
  { survey, unmoved }: KeptSurvey = keptSurvey(),
): Promise<Survey> {
  const reference = session.shots.find(({ kind }) => kind === 'even');
  if (!reference) throw new RangeError('session must have an even shot');
  const total = pendingShots(survey, session).length;
  let done = 0;
  const next = (what: string) => onProgress(Math.min(done++, total - 1), total, what);
  if (nextShot(survey, session) === reference) {
    next(reference.photo);
    surveyShot(survey, session, reference, await load(reference));
    unmoved.clear();
  }
  const opened = await openedPositions(session, survey, load, unmoved);
  const surveys: Survey[] = [];
  for (const [n, part] of partsOf(session, opened).entries()) {
    const hands = { load, onPhoto: next, elsewhere };
    surveys.push(await surveyPart(n === 0 ? survey : openSurvey(), part, hands));
  }
  dropLentRoom();
  return mergedSurveys(session, surveys, opened);
}

/**
 * The even shots from elsewhere than the one before; each opens a camera position.
 *
 * @param survey - in which the session's first even shot is taken in
 * @param load - gives a shot's photo
 * @param unmoved - names of even shots that are known to open none; those that are found so are added
 */
export async function openedPositions(
  { shots, array }: Session,
  { even }: Pick<OpenSurvey, 'even'>,
  load: (shot: Shot) => Promise<ShotPhoto>,
  unmoved = new Set<string>(),
): Promise<OpenedPosition[]> {
  const further = shots.filter((shot) => shot.kind === 'even').slice(1);
  const first = even?.found;
  if (!first) throw new RangeError('the first even shot must be surveyed before others');
  let before = first;
  const opened: OpenedPosition[] = [];
  for (const shot of further) {
    // They are known of the first position only.
    const inFirst = before === first;
    if (inFirst && unmoved.has(shot.photo)) continue;
    const photo = await load(shot);
    const next = isSameView(before, photo, array) ? null : openedBy(first, before, shot, photo, array);
    if (!next) {
      if (inFirst) unmoved.add(shot.photo);
      continue;
    }
    opened.push(next.opened);
    before = next.found;
  }
  return opened;
}

/** Surveys the shots of one camera position; the even shot that opens it may be taken in already. */
async function surveyPart(
  survey: OpenSurvey,
  session: Session,
  { load, onPhoto, elsewhere }: Hands,
): Promise<Survey> {
  for (let shot = nextShot(survey, session); isFirst(shot, survey); shot = nextShot(survey, session)) {
    onPhoto(shot.photo);
    surveyShot(survey, session, shot, await load(shot));
  }
  const further = furtherShots(survey, session);
  if (further.length > 0) {
    const known = knownSheet(survey, session);
    const begun = elsewhere?.(known, further);
    for (const [n, shot] of further.entries()) {
      onPhoto(shot.photo);
      const measured = (await begun?.[n]) ?? measureFurther(known, shot, await load(shot));
      takeInFurther(survey, shot, known, measured);
    }
  }
  return surveyOf(survey, session)!; // its even shot is taken in
}

/** Whether others are measured with what this shot gives: the first even shot, and the dark ones. */
function isFirst(shot: Shot | null, { even }: OpenSurvey): shot is Shot {
  return shot !== null && (even === null || shot.kind === 'dark');
}
