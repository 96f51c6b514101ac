import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { surveyShots } from '@twolamp/cells';
import { previewScene } from '@twolamp/preview';
import { seededRandom } from '@twolamp/optics';
import { readPhoto } from '@twolamp/photos';
import type { LampShot, Preview, Result } from '@twolamp/session';
import type { Plan } from '@twolamp/simulate';
import { sampleCorrelation } from 'simple-statistics';
import { makeAndMeasure } from '../accuracy/run-session.js';
import { scenePicture } from './scene-picture.js';

/** Pearson's. */
export const correlation: (one: number[], other: number[]) => number = sampleCorrelation;

/** A preview beside the photo of the same scene through the same tubes; cells in reading order. */
export interface Agreement {
  readonly preview: Preview;
  /** Light of each cell in the scene's photo. */
  readonly photographed: {
    /** Falling off towards the corners of the lens as it does. */
    readonly asItIs: number[];
    /** Over the smooth trend of the even shots, which takes the lens out and brings in how uneven their light was. */
    readonly overTrend: number[];
  };
}

/**
 * Makes a session with a scene, measures it, previews its first scene and measures the light of each cell in the scene's
 * photo as that of every shot is measured.
 *
 * @param folder - made where it isn't there; holds all files afterwards
 */
export async function previewAgainstPhoto(plan: Plan, folder: string): Promise<Agreement> {
  const scene = plan.scenes[0];
  await mkdir(folder, { recursive: true });
  const path = join(folder, scene.picture);
  await writeFile(path, await scenePicture());
  const picture = await readPhoto(path, { tone: 'srgb', channel: 'luminance' });
  const { session, load, result } = await makeAndMeasure(plan, folder, new Map([[scene.picture, picture]]));

  // A kind that the survey measures and draws no conclusion from.
  const photo: LampShot = {
    photo: scene.photo!,
    stated: {},
    kind: 'lamp',
    acrossMm: 0,
    upMm: 0,
    distanceMm: 1,
  };
  const still = session.shots.filter(({ kind }) => kind === 'dark' || kind === 'even');
  const { lit } = await surveyShots({ ...session, shots: [...still, photo] }, load, () => {});
  const [even, shown] = ['even', 'lamp'].map(
    (kind) => lit.find(({ shot }) => shot.kind === kind)!.light.flux,
  );
  const { preview } = previewScene(
    result,
    { name: scene.picture, photo: picture, widthMm: scene.width, distanceMm: scene.distance },
    seededRandom(1),
  );
  const trend = trendOf(result, even);
  const asItIs = Array.from(shown);
  return { preview, photographed: { asItIs, overTrend: asItIs.map((light, i) => light / trend[i]) } };
}

/** Light that a typical tube in each place gives in the even shot: where a tube gives none, as the nearest one that does. */
function trendOf({ cells }: Result, even: Float64Array): number[] {
  const known = cells.flatMap(({ atMm, seen, transmission: { relative } }, i) =>
    seen && relative ? [{ atMm, typical: even[i] / relative }] : [],
  );
  return cells.map(({ atMm }) => {
    const away = (of: (typeof known)[number]) =>
      Math.hypot(of.atMm.across - atMm.across, of.atMm.up - atMm.up);
    return known.reduce((nearest, one) => (away(one) < away(nearest) ? one : nearest)).typical;
  });
}
