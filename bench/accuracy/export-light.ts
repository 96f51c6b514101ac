import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { type LinearPhoto, readSession, type Session, type Shot } from '@twolamp/session';
import { npyFile } from './npy.js';
import { photosIn } from './run-session.js';

const HELP = `Linear light of sessions' even shots for other programs, beside Twolamp's own figures.

node bench/dist/accuracy/export-light.js OUT SESSION_FOLDER ...

Each folder holds session.yaml, truth.json and the photos. OUT/NAME gets even.npy (first even shot, dark shot taken off
where there is one), result.json (measured from these two photos) and truth.json.
`;

/** The session with its first even shot and its first dark one only. */
function evenOnly(session: Session): Session {
  const first = (kind: string) => session.shots.find((shot) => shot.kind === kind);
  return { ...session, shots: [first('dark'), first('even')].filter((shot) => shot !== undefined) };
}

/** The first even shot with the dark one taken off, in proportion to exposure time and ISO. */
async function clearedEven(session: Session, load: ReturnType<typeof photosIn>) {
  const [even, dark] = ['even', 'dark'].map((kind) => session.shots.find((shot) => shot.kind === kind));
  const photo = await load(even!);
  if (!dark) return photo;
  const stray = await load(dark);
  const exposure = ({ stated }: Shot, own: LinearPhoto) =>
    (stated.exposureS ?? own.exposureS ?? 1) * (stated.iso ?? own.iso ?? 100);
  const share = exposure(even!, photo) / exposure(dark, stray);
  return { ...photo, light: photo.light.map((value, n) => value - share * stray.light[n]) };
}

const [out, ...folders] = process.argv.slice(2);
if (!out || folders.length === 0) {
  console.log(HELP);
} else {
  for (const folder of folders) {
    const session = evenOnly(readSession(readFileSync(join(folder, 'session.yaml'), 'utf8'), 'session.yaml'));
    const load = photosIn(folder, session);
    const { result } = await measureSession(session, load);
    const { light, width, height } = await clearedEven(session, load);
    const target = join(out, basename(folder));
    mkdirSync(target, { recursive: true });
    writeFileSync(join(target, 'even.npy'), npyFile(light, width, height));
    writeFileSync(join(target, 'result.json'), JSON.stringify(result));
    copyFileSync(join(folder, 'truth.json'), join(target, 'truth.json'));
    console.error(target);
  }
}
