import { join } from 'node:path';
import { readPhoto, readPhotoHead, responseFromSeries, type ToneCurve } from '@twolamp/photos';
import { InputError, type LinearPhoto, type Shot } from '@twolamp/session';
import type { OpenSession } from './files/open-session.js';

/**
 * The exposure series of a `bracketed` session: its even shots, or its bare ones, taken with different exposures.
 * @throws InputError where there is none
 */
async function bracketedCurve({ session, file, folder }: OpenSession): Promise<ToneCurve> {
  for (const kind of ['even', 'bare'] as const) {
    const series = [];
    for (const shot of session.shots.filter((one) => one.kind === kind)) {
      const path = join(folder, shot.photo);
      const head = await readPhotoHead(path);
      const seconds = shot.stated.exposureS ?? head.exposureS;
      const iso = shot.stated.iso ?? head.iso ?? 1;
      const aperture = shot.stated.aperture ?? head.aperture ?? 1;
      if (seconds !== null) series.push({ path, exposure: (seconds * iso) / aperture ** 2 });
    }
    if (new Set(series.map((one) => one.exposure)).size > 1) return (await responseFromSeries(series)).table;
  }
  throw new InputError(
    file,
    'camera.tone is bracketed, but no even or bare shots differ in exposure',
    'two or more of them from the same place in the same light, at different exposure times',
  );
}

/**
 * A function that loads a shot's photo, and begins with the next one while the first is worked on.
 *
 * @param order - the shots in the order in which they will be asked for, as far as it is known
 */
export async function photoLoader(
  open: OpenSession,
  order: readonly Shot[],
): Promise<(shot: Shot) => Promise<LinearPhoto>> {
  const { session, folder } = open;
  const tone = session.tone === 'bracketed' ? await bracketedCurve(open) : session.tone;
  const read = (shot: Shot) => readPhoto(join(folder, shot.photo), { tone, channel: 'luminance' });
  let ahead: { readonly shot: Shot; readonly photo: Promise<LinearPhoto> } | undefined;
  return (shot) => {
    const photo = ahead?.shot === shot ? ahead.photo : read(shot);
    const next = order[order.indexOf(shot) + 1];
    ahead = undefined;
    if (next !== undefined) {
      ahead = { shot: next, photo: read(next) };
      ahead.photo.catch(() => {}); // told when that photo is asked for
    }
    return photo;
  };
}
