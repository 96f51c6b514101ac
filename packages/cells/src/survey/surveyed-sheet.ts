import { type ArraySpec, type EvenShot, InputError, type LinearPhoto, type Note } from '@twolamp/session';
import type { CellLight } from '../cell-light.js';
import { cloudScatter } from '../flat-field/paper-clouds.js';
import { type FirstPlaces, firstPlaces } from '../flux/cells-on-picture.js';
import { lightOf } from '../flux/measure-shot.js';
import { nearCells } from '../flux/region.js';
import { learnSheet, type SheetModel } from '../flux/sheet-model.js';
import { findLattice } from '../lattice/find-lattice.js';
import { averageDarks, type DarkFrame, smoothDark, takeDarkOff } from '../light/dark.js';
import type { Exposure } from '../light/exposure.js';
import type { ReducedPhoto } from '../light/plane.js';

/** Share of cells that may be clipped in the even shot before it is refused. */
const CLIPPED_CELLS_SHARE = 0.2;

/** The even shot in which the cells were found. Plain data. */
export interface FoundCells {
  readonly first: FirstPlaces;
  /** The even shot, reduced, as it is. */
  readonly picture: ReducedPhoto;
  /** Size of the photo. */
  readonly width: number;
  readonly height: number;
}

/** What every other shot is measured with: how the cells look on the sheet, and the stray light. Plain data. */
export interface SurveyedSheet {
  readonly model: SheetModel;
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  readonly sheetScatter: number;
  /** Averaged by exposure, without noise. */
  readonly darks: readonly DarkFrame[];
  readonly factor: number;
  /** The even shot's own light, full scale × pixels of the reduced picture. */
  readonly light: CellLight;
  readonly notes: readonly Note[];
}

/**
 * Finds the cells in the even shot.
 *
 * @throws InputError where they can't be found as stated
 */
export function findCells(even: LinearPhoto, array: ArraySpec, name: string): FoundCells {
  const { lattice, picture } = findLattice(even, array, name);
  const first = firstPlaces(lattice, array.arrangement === 'hexagonal');
  return { first, picture, width: even.width, height: even.height };
}

/**
 * Learns how the cells look on the sheet from the even shot.
 *
 * @param exposure - of the even shot
 * @param frames - dark frames, reduced as the even shot is
 * @throws InputError where the even shot is clipped all over
 */
export function surveySheet(
  { first, picture }: FoundCells,
  shot: EvenShot,
  exposure: Exposure,
  frames: readonly DarkFrame[],
  array: ArraySpec,
): SurveyedSheet {
  const { u, v, pitchPx } = first;
  const sheetPixels = nearCells(
    { x: first.cells.x, y: first.cells.y, pitchPx },
    picture.width,
    picture.height,
  );
  const darks = averageDarks(frames).map((dark) => smoothDark(dark, sheetPixels, pitchPx));
  const clear = takeDarkOff(picture, exposure, darks);
  const sheet = learnSheet(clear, first, {
    rows: array.rows,
    columns: array.columns,
    hexagonal: array.arrangement === 'hexagonal',
    borePitches: array.tubeBoreMm / array.backPitchMm,
  });
  const { model, middles } = sheet;
  const light = lightOf(sheet.solution, clear, sheet.patches, sheet.weights, model);
  const notes = judgeClipping(light, array.columns, shot);
  return {
    model,
    u,
    v,
    middles,
    sheetScatter: cloudScatter(sheet),
    darks,
    factor: picture.factor,
    light,
    notes,
  };
}

/** Refuses an even shot that is clipped all over; where a few cells are, names them. */
export function judgeClipping(light: CellLight, columns: number, shot: EvenShot): Note[] {
  const cells = Array.from(light.clipped.keys()).filter((k) => light.clipped[k]);
  if (cells.length === 0) return [];
  if (cells.length > CLIPPED_CELLS_SHARE * light.clipped.length) {
    throw new InputError(
      shot.photo,
      `the even shot is clipped in ${cells.length} of ${light.clipped.length} cells: too bright to measure`,
      'a shorter exposure, with the brightest cells below the top of the scale',
    );
  }
  const named = cells
    .slice(0, 8)
    .map((k) => `row ${Math.floor(k / columns) + 1} column ${(k % columns) + 1}`);
  const more = cells.length > named.length ? ` and ${cells.length - named.length} more` : '';
  return [
    {
      about: 'transmission.relative',
      says: `${shot.photo} is clipped at ${named.join(', ')}${more}: their light is at least what is given`,
    },
  ];
}
