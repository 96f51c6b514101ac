import { type KeptSurvey, surveyShots } from '@twolamp/cells';
import type { Consistency } from '@twolamp/consistency';
import { checkSurvey } from '@twolamp/measure';
import { findingSentence } from '@twolamp/words';
import { isDoubt, lineInSession, type Session } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';
import { readTextFile } from './files/text-file.js';
import { withSurveyPhotos } from './survey-photos.js';
import type { Progress } from './terminal.js';

/** What the photos contradict of what is stated, in sentences, and with what values they would fit. */
export interface CheckedStatements extends Pick<Consistency, 'mended'> {
  readonly doubts: readonly string[];
  /** What photos can't check. */
  readonly unchecked: readonly string[];
}

/** The part of a session that is held against its lamp and pair photos. */
export function withLamps({ shots, ...session }: Session): Session {
  const kinds = ['even', 'dark', 'lamp', 'pair'];
  return { ...session, shots: shots.filter(({ kind }) => kinds.includes(kind)) };
}

/**
 * Holds what a session states of its array and lamps against its photos.
 *
 * @param kept - the light of photos that were taken in already; the others are read
 * @throws InputError where a photo can't be measured
 */
export async function checkStatements(
  open: OpenSession,
  kept: KeptSurvey,
  onProgress: Progress,
): Promise<CheckedStatements> {
  const session = withLamps(open.session);
  if (session.shots.every(({ kind }) => kind !== 'lamp' && kind !== 'pair'))
    return { doubts: [], unchecked: [], mended: null };
  const survey = await withSurveyPhotos(
    open,
    session,
    ({ load, elsewhere }) =>
      surveyShots(session, load, (done, of, what) => onProgress(done + 1, of, what), elsewhere, kept),
    async () => kept,
  );
  const { findings, unchecked, mended } = checkSurvey(open.session, survey);
  const text = await readTextFile(open.file, 'a session.yaml');
  const ofArray = survey.findings.filter((one) => isDoubt(one) && one.about.startsWith('array.'));
  const doubts = [...ofArray, ...findings].map((one) => {
    const line = lineInSession(text, one.about);
    return `${line === null ? '' : `line ${line}: `}${findingSentence(one)}`;
  });
  return { doubts, unchecked: unchecked.map(findingSentence), mended };
}
