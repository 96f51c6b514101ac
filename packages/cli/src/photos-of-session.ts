import { join } from 'node:path';
import {
  type PhotoHead,
  type PhotoReading,
  readPhotoHead,
  responseFromSeries,
  type SeriesPhoto,
  type ToneCurve,
} from '@twolamp/photos';
import { type Finding, finding, InputError, type Shot } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';

/** Misfit of an exposure series beyond which a word is due: noise stays far below it; a judgement, no source. */
const POOR_FIT_STOPS = 0.15;

/** A session's photos, loaded one by one. */
export interface SessionPhotos<P> {
  readonly load: (shot: Shot) => Promise<P>;
  /** How their codes are understood. */
  readonly reading: PhotoReading;
  /** What all photos suffer from. */
  readonly findings: readonly Finding[];
}

interface Exposed {
  readonly shot: Shot;
  readonly path: string;
  readonly head: PhotoHead;
}

/**
 * ISO or aperture of each photo of a series; 1 for all where none is known.
 * @throws InputError where it is known of some only
 */
function eachOrNone(series: readonly Exposed[], field: 'iso' | 'aperture'): number[] {
  const values = series.map(({ shot, head }) => shot.stated[field] ?? head[field]);
  const missing = series[values.indexOf(null)];
  if (missing !== undefined && values.some((value) => value !== null)) {
    throw new InputError(
      missing.path,
      `its ${field} is unknown, while other shots of the exposure series have one`,
      `${field}: stated on its shot in the session, or on none`,
    );
  }
  return values.map((value) => value ?? 1);
}

function seriesOf(shots: readonly Exposed[]): SeriesPhoto[] {
  const timed = shots.flatMap((one) => {
    const seconds = one.shot.stated.exposureS ?? one.head.exposureS;
    return seconds === null ? [] : [{ ...one, seconds }];
  });
  const iso = eachOrNone(timed, 'iso');
  const aperture = eachOrNone(timed, 'aperture');
  return timed.map(({ path, seconds }, i) => ({ path, exposure: (seconds * iso[i]!) / aperture[i]! ** 2 }));
}

/**
 * The exposure series of a `bracketed` session: its even shots, or its bare ones, taken with different exposures.
 * @throws InputError where there is none, or its exposures can't be compared
 */
async function bracketedCurve({
  session,
  file,
  folder,
}: OpenSession): Promise<{ tone: ToneCurve; findings: Finding[] }> {
  for (const kind of ['even', 'bare'] as const) {
    const shots = [];
    for (const shot of session.shots.filter((one) => one.kind === kind)) {
      const path = join(folder, shot.photo);
      shots.push({ shot, path, head: await readPhotoHead(path) });
    }
    const series = seriesOf(shots);
    if (new Set(series.map((one) => one.exposure)).size < 2) continue;
    const { table, residualStops } = await responseFromSeries(series);
    const misfit = finding('camera-response-misfit', 'photos', { series: kind, residualStops });
    return { tone: table, findings: residualStops > POOR_FIT_STOPS ? [misfit] : [] };
  }
  throw new InputError(
    file,
    'camera.tone is bracketed, but no even or bare shots differ in exposure',
    'two or more of them from the same place in the same light, at different exposure times',
  );
}

/**
 * Gets ready to load a session's photos; the next one is begun with while one is worked on.
 *
 * @param read - reads a photo by its path
 * @param order - the shots in the order in which they will be asked for, as far as it is known
 */
export async function sessionPhotos<P>(
  open: OpenSession,
  read: (path: string, reading: PhotoReading) => Promise<P>,
  order: readonly Shot[],
): Promise<SessionPhotos<P>> {
  const { session, folder } = open;
  const { tone, findings } =
    session.tone === 'bracketed' ? await bracketedCurve(open) : { tone: session.tone, findings: [] };
  const reading: PhotoReading = { tone, channel: 'luminance' };
  const photoOf = (shot: Shot) => read(join(folder, shot.photo), reading);
  let ahead: { readonly shot: Shot; readonly photo: Promise<P> } | undefined;
  const load = (shot: Shot) => {
    const photo = ahead?.shot === shot ? ahead.photo : photoOf(shot);
    const at = order.indexOf(shot);
    const next = at < 0 ? undefined : order[at + 1];
    ahead = undefined;
    if (next !== undefined) {
      ahead = { shot: next, photo: photoOf(next) };
      ahead.photo.catch(() => {}); // told when that photo is asked for
    }
    return photo;
  };
  return { load, reading, findings };
}
