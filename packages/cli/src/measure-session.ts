import { dirname, join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { thumbnail } from '@twolamp/photos';
import { type Evidence, type Result, unusualValues } from '@twolamp/session';
import { askAgain } from './ask-again.js';
import { type OpenSession, openSession } from './files/open-session.js';
import { fillFolder } from './files/output-folder.js';
import { madeFrom } from './made.js';
import { pageSource } from './page-source.js';
import { REPORT_NAMES, reportFiles } from './report-files.js';
import { withSurveyPhotos } from './survey-photos.js';
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

async function measureOpened(
  open: OpenSession,
  step: Progress,
): Promise<{ readonly result: Result; readonly evidence: Evidence }> {
  return withSurveyPhotos(open, open.session, async ({ load, elsewhere, findings }) => {
    // Made beside the measurement, by other threads; what is wrong with a photo is the measurement's to say.
    const small = picture(open);
    small.catch(() => {});
    const measured = await measureSession(open.session, load, {
      onProgress: (done, of, what) => step(done + 1, of, what),
      made: await madeFrom(open),
      elsewhere,
    });
    return {
      result: { ...measured.result, findings: [...findings, ...measured.result.findings] },
      evidence: { ...measured.evidence, picture: await small },
    };
  });
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
  const folder = out ?? join(dirname(open.file), 'measured');
  const progress = showProgress(terminal);
  const names = ['result.json', 'evidence.json', ...REPORT_NAMES];
  const measured = fillFolder(folder, names, async ({ write }) => {
    const { result, evidence } = await measureOpened(open, progress.step);
    await write({
      'result.json': `${JSON.stringify(result, null, 2)}\n`,
      'evidence.json': `${JSON.stringify(evidence)}\n`,
      ...(await reportFiles(result, evidence, pageSource(join(folder, 'result.json')))),
    });
    return result;
  });
  return { result: await measured.finally(progress.end), folder };
}
