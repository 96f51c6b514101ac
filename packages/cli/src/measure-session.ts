import { dirname, join } from 'node:path';
import { pendingShots } from '@twolamp/cells';
import { measureSession } from '@twolamp/measure';
import { type PhotoReading, thumbnail } from '@twolamp/photos';
import { type Evidence, type Result, unusualValues } from '@twolamp/session';
import { askAgain } from './ask-again.js';
import { type OpenSession, openSession } from './files/open-session.js';
import { KEPT_NAME, keptBytes, openKept, programKey } from './files/kept-survey.js';
import { fillFolder } from './files/output-folder.js';
import { madeFrom } from './made.js';
import { pageSource, RESULTS_FOLDER } from './page-source.js';
import { REPORT_NAMES, reportFiles } from './report-files.js';
import { type SurveyPhotos, withSurveyPhotos } from './survey-photos.js';
import { type Progress, showProgress, type Terminal } from './terminal.js';

/** Wide enough to tell cells of a large array apart on the page. */
const PICTURE_WIDTH_PX = 1600;

async function picture({ session, folder }: OpenSession): Promise<Evidence['picture']> {
  const even = session.shots.find((shot) => shot.kind === 'even')!; // a session without one is refused on reading
  const small = await thumbnail(join(folder, even.photo), PICTURE_WIDTH_PX);
  return {
    photo: even.photo,
    jpeg: `data:image/jpeg;base64,${small.jpeg.toString('base64')}`,
    widthPx: small.width,
    heightPx: small.height,
    scale: 1 / small.scale,
  };
}

interface Opened {
  readonly result: Result;
  readonly evidence: Evidence;
  /** For the next run. */
  readonly reuse: Uint8Array;
}

/** @param folder - of the results, where an earlier run may have left what it measured */
async function measureOpened(
  open: OpenSession,
  folder: string,
  step: Progress,
  terminal: Terminal,
): Promise<Opened> {
  const made = await madeFrom(open);
  let key = '';
  const keptFor = (reading: PhotoReading) => {
    key = programKey(reading);
    return openKept(folder, key, made.photos);
  };
  const work = async ({ load, elsewhere, steps, findings, kept }: SurveyPhotos): Promise<Opened> => {
    // Made beside the measurement, by other threads; what is wrong with a photo is the measurement's to say.
    const reused = open.session.shots.length - pendingShots(kept.survey, open.session).length;
    if (reused > 0) terminal.err(`Unchanged since the last run, and not measured again: ${reused} photos.\n`);
    const small = picture(open);
    small.catch(() => {});
    const measured = await measureSession(open.session, load, {
      onProgress: (done, of, what) => step(done + 1, of, what),
      made,
      elsewhere,
      steps,
      kept,
    });
    return {
      result: { ...measured.result, findings: [...findings, ...measured.result.findings] },
      evidence: { ...measured.evidence, picture: await small },
      reuse: keptBytes({ key, photos: made.photos, kept }),
    };
  };
  return withSurveyPhotos(open, open.session, work, keptFor);
}

/**
 * Measures a session and writes everything that comes of it.
 *
 * @param path - session.yaml, or the folder that holds it
 * @param out - folder to write into; `measured` beside session.yaml where left out
 */
export async function measureInto(
  path: string,
  out: string | undefined,
  terminal: Terminal,
): Promise<{ readonly result: Result; readonly folder: string }> {
  const open = await openSession(path);
  askAgain(unusualValues(open.session), terminal);
  const folder = out ?? join(dirname(open.file), RESULTS_FOLDER);
  const progress = showProgress(terminal);
  const names = ['result.json', 'evidence.json', KEPT_NAME, ...REPORT_NAMES];
  const measured = fillFolder(folder, names, async ({ write }) => {
    const { result, evidence, reuse } = await measureOpened(open, folder, progress.step, terminal);
    await write({
      'result.json': `${JSON.stringify(result, null, 2)}\n`,
      'evidence.json': `${JSON.stringify(evidence)}\n`,
      [KEPT_NAME]: reuse,
      ...(await reportFiles(result, evidence, pageSource(join(folder, 'result.json')))),
    });
    return result;
  });
  return { result: await measured.finally(progress.end), folder };
}
