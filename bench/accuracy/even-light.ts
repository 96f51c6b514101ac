import type { LinearPhoto, Session, Shot } from '@twolamp/session';
import type { photosIn } from './run-session.js';

/** The session with its first even shot and its first dark one only. */
export function evenOnly(session: Session): Session {
  const first = (kind: string) => session.shots.find((shot) => shot.kind === kind);
  return { ...session, shots: [first('dark'), first('even')].filter((shot) => shot !== undefined) };
}

/** Linear light of the first even shot, the dark one taken off in proportion to exposure time and ISO. */
export async function clearedEven(session: Session, load: ReturnType<typeof photosIn>): Promise<LinearPhoto> {
  const [even, dark] = ['even', 'dark'].map((kind) => session.shots.find((shot) => shot.kind === kind));
  const photo = await load(even!);
  if (!dark) return photo;
  const stray = await load(dark);
  const exposure = ({ stated }: Shot, own: LinearPhoto) =>
    (stated.exposureS ?? own.exposureS ?? 1) * (stated.iso ?? own.iso ?? 100);
  const share = exposure(even!, photo) / exposure(dark, stray);
  return { ...photo, light: photo.light.map((value, n) => value - share * stray.light[n]) };
}
