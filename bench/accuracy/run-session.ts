import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { measureSession } from '@twolamp/measure';
import { readPhoto } from '@twolamp/photos';
import { type Result, readSession, type Session, type Shot } from '@twolamp/session';
import { type Pictures, type Plan, simulateSession, type Truth } from '@twolamp/simulate';
import type { Drawn } from './draw-plan.js';
import { photonLimits } from './photon-limit.js';

/** A session made and measured. */
export interface Run {
  readonly truth: Truth;
  readonly result: Result;
  /** Photon-noise limit of each cell's light, relative, all even shots together. */
  readonly limits: readonly number[];
}

/** A session with its truth and what was measured of it. */
interface Made {
  readonly truth: Truth;
  readonly session: Session;
  readonly load: ReturnType<typeof photosIn>;
  readonly result: Result;
}

/**
 * Makes a session's photos in a folder and measures them; the measurement sees the photos and session.yaml only.
 *
 * @param pictures - of the plan's scenes
 * @param folder - made where it isn't there; holds session.yaml, truth.json and the photos afterwards
 * @throws InputError where the measurement refuses the photos
 */
export async function makeAndMeasure(
  plan: Plan,
  folder: string,
  pictures: Pictures = new Map(),
): Promise<Made> {
  await mkdir(folder, { recursive: true });
  const { session: text, truth } = await simulateSession(
    plan,
    (name, file) => writeFile(join(folder, name), file),
    1,
    pictures,
  );
  await writeFile(join(folder, 'session.yaml'), text);
  await writeFile(join(folder, 'truth.json'), JSON.stringify(truth));
  return { truth, ...(await measureFolder(folder)) };
}

/** Measures the session whose session.yaml and photos lie in a folder, and hands back how its photos are read. */
export async function measureFolder(folder: string) {
  const session = readSession(await readFile(join(folder, 'session.yaml'), 'utf8'), 'session.yaml');
  const load = photosIn(folder, session);
  return { session, load, ...(await measureSession(session, load)) };
}

/** Runs a drawn session, see {@link makeAndMeasure}. */
export async function runSession(drawn: Drawn, folder: string): Promise<Run> {
  const { truth, session, load, result } = await makeAndMeasure(drawn.plan, folder);
  return { truth, result, limits: await limitsOf(drawn, session, truth, load) };
}

/** Reads a session's photos from its folder. */
export function photosIn(folder: string, { tone }: Session) {
  if (tone === 'bracketed') throw new RangeError('tone must be srgb or linear, got bracketed');
  return (shot: Shot) => readPhoto(join(folder, shot.photo), { tone, channel: 'luminance' });
}

async function limitsOf(
  { plan, pitchPx }: Drawn,
  session: Session,
  truth: Truth,
  load: ReturnType<typeof photosIn>,
): Promise<number[]> {
  const evens = session.shots.filter((shot) => shot.kind === 'even');
  const even = await load(evens[0]);
  const { iso } = truth.photos.find((photo) => photo.photo === evens[0].photo)!;
  const { camera, sheet, array } = plan;
  const pxPerMm = pitchPx / array.backPitchMm;
  const view = {
    fullScaleElectrons: (camera['full-well'] * 100) / iso,
    readNoiseElectrons: camera['read-noise'],
    offset: camera.offset,
    boreRadiusPx: (array.tubeBoreMm / 2) * pxPerMm,
    blurPx: Math.hypot(camera['blur-px'], sheet.core * pxPerMm, Math.sqrt(1 / 12)),
  };
  return photonLimits(even, truth.cells, view).map((limit) => limit / Math.sqrt(evens.length));
}
