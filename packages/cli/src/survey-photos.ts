import { join } from 'node:path';
import { type KeptSurvey, keptSurvey, type MeasureElsewhere, pendingShots } from '@twolamp/cells';
import type { StepsElsewhere } from '@twolamp/measure';
import { type PhotoReading, readPhotoHead, readReduciblePhoto } from '@twolamp/photos';
import type { Finding, ReduciblePhoto, Session, Shot } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';
import { sessionPhotos } from './photos-of-session.js';
import { startShotThreads } from './threads/shot-threads.js';

/** What a survey of a session's photos takes. */
export interface SurveyPhotos {
  readonly load: (shot: Shot) => Promise<ReduciblePhoto>;
  /** Undefined where threads would gain nothing. */
  readonly elsewhere: MeasureElsewhere | undefined;
  /** The same for steps of the conclusions. */
  readonly steps: StepsElsewhere | undefined;
  /** What all photos suffer from. */
  readonly findings: readonly Finding[];
  /** What need not be measured again. */
  readonly kept: KeptSurvey;
}

/** The order in which a survey asks for photos: where the cells are, what is stray light, then all else. */
function loadingOrder({ shots }: Session): { readonly first: Shot[]; readonly further: Shot[] } {
  const even = shots.filter((shot) => shot.kind === 'even').slice(0, 1);
  const first: Shot[] = [...even, ...shots.filter((shot) => shot.kind === 'dark')];
  return { first, further: shots.filter((shot) => !first.includes(shot)) };
}

/**
 * Surveys a session's photos, further shots on other threads where that is sooner.
 *
 * @param session - the opened one, or a part of it; it has an even shot
 * @param survey - does the work; the threads end with it
 * @param keptFor - gives what an earlier run measured of photos that were read so
 * @throws InputError where a photo's head or exposure series is at fault; whatever else `survey` throws
 */
export async function withSurveyPhotos<T>(
  open: OpenSession,
  session: Session,
  survey: (photos: SurveyPhotos) => Promise<T>,
  keptFor: (reading: PhotoReading) => Promise<KeptSurvey> = async () => keptSurvey(),
): Promise<T> {
  const { first, further } = loadingOrder(session);
  const { load, reading, findings } = await sessionPhotos(open, readReduciblePhoto, first);
  const kept = await keptFor(reading);
  const pending = pendingShots(kept.survey, session).filter((shot) => further.includes(shot));
  const head = await readPhotoHead(join(open.folder, first[0].photo));
  const threads = startShotThreads({ folder: open.folder, reading }, pending.length, head);
  try {
    return await survey({ load, elsewhere: threads?.elsewhere, steps: threads?.steps, findings, kept });
  } finally {
    await threads?.end();
  }
}
