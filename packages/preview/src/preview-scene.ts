import { type KnownExposure, type Random, requirePositive, type Wall, type WallName } from '@twolamp/optics';
import { PREVIEW_FORMAT, placedResult, type Preview, type Result } from '@twolamp/session';
import { quantile } from 'simple-statistics';
import { detailLeft } from './detail.js';
import { drawSpots, type SpotPictures } from './draw-spots.js';
import { previewExposure } from './exposure.js';
import { fieldOf, resultFindings, sceneFindings } from './preview-findings.js';
import type { Scene } from './scene.js';
import { sightProfile } from './sight.js';
import { sightsOf } from './sights.js';
import { srgbTone } from './tone.js';
import { type ByState, byState, tubeValues } from './tube-values.js';
import { typicalAcceptance } from './typical-acceptance.js';
import { BRIGHTEST } from './tuning.js';

export interface PreviewOptions {
  /** The tubes' wall; used where no sweep gives the acceptance width. */
  readonly wall?: Wall | WallName | undefined;
  /** An exposure of the same scene on the same paper or film through a lens. */
  readonly known?: KnownExposure | undefined;
}

export interface ScenePreview {
  readonly preview: Preview;
  readonly pictures: ByState<SpotPictures>;
}

/**
 * A scene as an array paints it: as measured, with the pull list replaced by typical tubes, and as a perfect array of the
 * same geometry would.
 *
 * Each tube gives the scene's mean over its acceptance around its pointing, times its relative transmission. Left out, as
 * it is in relative transmission: the smooth falling off towards the rim (cos⁴ of the slant). A tube that sees skewed is
 * taken for one that sees as wide and looks along its centre of gravity.
 *
 * @param random - for the tracing of a typical tube
 * @throws RangeError where the scene has no width or distance
 */
export function previewScene(
  whole: Result,
  scene: Scene,
  random: Random,
  options: PreviewOptions = {},
): ScenePreview {
  requirePositive('scene.widthMm', scene.widthMm);
  requirePositive('scene.distanceMm', scene.distanceMm);
  // Holes without a tube paint nothing.
  const placed = placedResult(whole);
  const result = { ...placed, cells: placed.cells.filter(({ state }) => state === 'filled') };
  const { array } = result;
  const acceptance = typicalAcceptance(result, scene.distanceMm, random, options.wall);
  const sights = sightsOf(result, acceptance);
  const values = tubeValues(result, scene, sights, sightProfile(acceptance.near));
  const { light, looksInside } = values;
  const white = whiteOf(light.perfect, looksInside);
  const tones = byState((state) => light[state].map((value) => srgbTone(value / white)));
  const detail = detailLeft(tones, looksInside, array);
  const exposure = previewExposure(result, acceptance.evenThroughput, options.known);
  const field = fieldOf(scene, sights);
  const preview: Preview = {
    format: PREVIEW_FORMAT,
    array: array.name,
    scene: {
      photo: scene.name,
      widthM: scene.widthMm / 1000,
      heightM: (scene.widthMm * scene.photo.height) / scene.photo.width / 1000,
      distanceM: scene.distanceMm / 1000,
      field,
    },
    tubes: result.cells.map(({ cell, row, column }, i) => ({
      cell,
      row,
      column,
      asMeasured: light.asMeasured[i],
      repaired: light.repaired[i],
      perfect: light.perfect[i],
    })),
    white,
    similarity: detail.similarity,
    exposure: exposure.exposure,
    findings: [
      ...sights.findings,
      ...acceptance.findings,
      ...resultFindings(result),
      ...values.findings,
      ...sceneFindings(scene.photo, field, looksInside),
      ...detail.findings,
      ...exposure.findings,
    ],
    ...(result.doubtful ? { doubtful: true } : {}),
  };
  return { preview, pictures: byState((state) => drawSpots(array, tones[state])) };
}

/** The value that the pictures show as white: only the brightest of the perfect array's tubes lie above it. */
function whiteOf(perfect: Float64Array, looksInside: Uint8Array): number {
  const inside = Array.from(perfect).filter((_, i) => looksInside[i] === 1);
  const white = inside.length === 0 ? 0 : quantile(inside, 1 - BRIGHTEST);
  return white > 0 ? white : 1;
}
