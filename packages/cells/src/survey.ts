import {
  type EvenShot,
  InputError,
  type LinearPhoto,
  type Note,
  type PhotoRecord,
  type Session,
  type Shot,
} from '@twolamp/session';
import type { CellLight, LitShot } from './cell-light.js';
import { bareLevels } from './flat-field/bare-levels.js';
import { cloudScatter } from './flat-field/paper-clouds.js';
import type { CellsOnPicture } from './flux/cells-on-picture.js';
import { haloShare } from './flux/halo.js';
import { type Lit, type MeasuredShot, lightOf, measureShot } from './flux/measure-shot.js';
import { nearCells } from './flux/region.js';
import { learnSheet, type SheetModel } from './flux/sheet-model.js';
import { type BackDepartures, backDepartures } from './lattice/back-places.js';
import { findLattice } from './lattice/find-lattice.js';
import { averageDarks, type DarkFrame, smoothDark, takeDarkOff } from './light/dark.js';
import { comparable, type Exposure, exposureFactor, exposureOf } from './light/exposure.js';
import { type ReducedPhoto, reducePhoto } from './light/plane.js';

/** Called before each photo: how many are done, of how many, and which comes next. */
export type Progress = (done: number, of: number, what: string) => void;

/** What the photos gave, shot by shot, before anything is concluded from it. */
export interface Survey {
  /** Lattice co-ordinates of each cell: across in pitches, down in rows. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Each cell's place on the reduced picture, with the local stretch of the lattice. */
  readonly cells: CellsOnPicture;
  /** Each cell's centre of light on the reduced picture, px. */
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  /** Where the tubes end at the sheet against where the stated array has them; null where it can't be seen. */
  readonly backDepartures: BackDepartures | null;
  /** Whole factor by which photos were reduced: pixels of a photo per pixel of the reduced picture. */
  readonly factor: number;
  /** Light that the sheet scatters beyond the spots, per unit within them. */
  readonly haloShare: number;
  /** How much the sheet's clouds scatter the cells' light in the even shot, relative; 0 where none show. */
  readonly sheetScatter: number;
  /** Shots of the cells, light per unit of exposure: even, lamp, pair and single. */
  readonly lit: readonly LitShot<Shot>[];
  /** Illuminance of the bare sheet at each cell, per unit of exposure; one a bare shot. */
  readonly bare: readonly { readonly level: Float64Array; readonly sigma: Float64Array }[];
  /** Whether brightness may be compared across the photos. */
  readonly comparable: boolean;
  readonly photos: readonly PhotoRecord[];
  readonly notes: readonly Note[];
}

/** A shift of more than this share of a pitch is no drift: the stand was moved, and cells could be mistaken. */
const LARGEST_DRIFT_PITCHES = 0.35;
const NO_DARK: Note = {
  about: 'photos',
  says: 'no dark shot: stray light is estimated from what lies between and around the cells of each photo',
};
/** Share of cells that may be clipped in the even shot before it is refused. */
const CLIPPED_CELLS_SHARE = 0.2;

interface Loaded {
  readonly shot: Shot;
  readonly photo: ReducedPhoto;
  readonly exposure: Exposure;
}

function requireSameSize(
  photo: LinearPhoto,
  even: { width: number; height: number; name: string },
  name: string,
): void {
  if (photo.width === even.width && photo.height === even.height) return;
  throw new InputError(
    name,
    `the photo has ${photo.width} × ${photo.height} pixels, ${even.name} has ${even.width} × ${even.height}`,
    'all photos from one camera position, in one size and orientation',
  );
}

function clippedShare(photo: LinearPhoto): number {
  let clipped = 0;
  for (let at = 0; at < photo.clipped.length; at++) clipped += photo.clipped[at]!;
  return clipped / photo.clipped.length;
}

function recordOf(
  shot: Shot,
  photo: LinearPhoto,
  exposure: Exposure,
  driftPx: [number, number] | null,
): PhotoRecord {
  return {
    photo: shot.photo,
    kind: shot.kind,
    widthPx: photo.width,
    heightPx: photo.height,
    exposureS: exposure.seconds,
    iso: exposure.iso,
    clippedShare: clippedShare(photo),
    driftPx,
  };
}

/** Refuses an even shot that is clipped all over; where a few cells are, names them. */
function judgeClipping(light: CellLight, columns: number, shot: EvenShot): Note[] {
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

function scaled(light: CellLight, factor: number): CellLight {
  return {
    ...light,
    flux: light.flux.map((value) => value / factor),
    sigma: light.sigma.map((value) => value / factor),
  };
}

function litBy({ kind }: Shot): Lit {
  if (kind === 'single') return 'alone';
  return kind === 'lamp' || kind === 'pair' ? 'by lamps' : 'evenly';
}

function driftOf(
  measured: MeasuredShot,
  sheet: SheetModel,
  factor: number,
  shot: Shot,
): [number, number] | null {
  if (!measured.shift) return null;
  const drift: [number, number] = [measured.shift[0] * factor, measured.shift[1] * factor];
  const pitches = Math.hypot(...measured.shift) / sheet.cells.pitchPx;
  if (pitches <= LARGEST_DRIFT_PITCHES) return drift;
  throw new InputError(
    shot.photo,
    `the camera had moved by some ${Math.hypot(...drift).toFixed(0)} pixels, ${pitches.toFixed(2)} of a pitch: cells could be mistaken for their neighbours`,
    'all photos from a stand that does not move; shoot this one again, or the whole session',
  );
}

/**
 * Looks at every photo once, one at a time: finds the cells in the first even shot, then measures the light of each cell
 * in every other.
 *
 * @param session - what was shot
 * @param load - gives a shot's photo
 * @param onProgress - told before each photo
 * @throws InputError where a photo can't be measured, with its name
 */
export async function surveyShots(
  session: Session,
  load: (shot: Shot) => Promise<LinearPhoto>,
  onProgress: Progress,
): Promise<Survey> {
  const { array } = session;
  const reference = session.shots.find((shot): shot is EvenShot => shot.kind === 'even');
  if (!reference) throw new RangeError('session must have an even shot');
  let done = 0;
  const step = (what: string): void => onProgress(done++, session.shots.length, what);

  step(reference.photo);
  const even = await load(reference);
  const evenSize = { width: even.width, height: even.height, name: reference.photo };
  const evenExposure = exposureOf(reference, even);
  const { lattice, picture } = findLattice(even, array, reference.photo);
  const { factor } = picture;
  const exposures: Exposure[] = [evenExposure];
  const records = new Map<Shot, PhotoRecord>([[reference, recordOf(reference, even, evenExposure, [0, 0])]]);
  const read = async (shot: Shot): Promise<Loaded & { whole: LinearPhoto }> => {
    step(shot.photo);
    const whole = await load(shot);
    requireSameSize(whole, evenSize, shot.photo);
    const exposure = exposureOf(shot, whole);
    exposures.push(exposure);
    records.set(shot, recordOf(shot, whole, exposure, null));
    return { shot, whole, photo: reducePhoto(whole, factor), exposure };
  };

  const frames: DarkFrame[] = [];
  for (const shot of session.shots.filter((one) => one.kind === 'dark')) {
    const { photo, exposure } = await read(shot);
    frames.push({ plane: photo, exposure });
  }
  const { width, height } = picture;
  const sheetPixels = nearCells(lattice, width, height);
  const darks = averageDarks(frames).map((dark) => smoothDark(dark, sheetPixels, lattice.pitchPx));
  const clear = (photo: ReducedPhoto, exposure: Exposure): ReducedPhoto =>
    takeDarkOff(photo, exposure, darks);

  const evenClear = clear(picture, evenExposure);
  const sheet = learnSheet(evenClear, lattice, {
    rows: array.rows,
    columns: array.columns,
    hexagonal: array.arrangement === 'hexagonal',
    borePitches: array.tubeBoreMm / array.backPitchMm,
  });
  const { cells } = sheet.model;
  const evenLight = lightOf(sheet.solution, evenClear, sheet.patches, sheet.weights, sheet.model);
  const notes = judgeClipping(evenLight, array.columns, reference);
  if (frames.length === 0) notes.push(NO_DARK);

  const lit: LitShot<Shot>[] = [{ shot: reference, light: scaled(evenLight, exposureFactor(evenExposure)) }];
  const bare: Survey['bare'][number][] = [];
  for (const shot of session.shots) {
    if (shot === reference || shot.kind === 'dark') continue;
    const { whole, photo, exposure } = await read(shot);
    const picture = clear(photo, exposure);
    const scale = exposureFactor(exposure);
    if (shot.kind === 'bare') {
      const { level, sigma, clipped } = bareLevels(picture, cells);
      if (clipped)
        notes.push({
          about: 'transmission.absolute',
          says: `${shot.photo} is clipped where the cells lie and was left out`,
        });
      else
        bare.push({ level: level.map((value) => value / scale), sigma: sigma.map((value) => value / scale) });
      continue;
    }
    const measured = measureShot(picture, sheet.model, litBy(shot));
    records.set(shot, recordOf(shot, whole, exposure, driftOf(measured, sheet.model, factor, shot)));
    if (shot.kind === 'even') notes.push(...judgeClipping(measured.light, array.columns, shot));
    lit.push({ shot, light: scaled(measured.light, scale) });
  }
  const photos = session.shots.map((shot) => records.get(shot)!);
  return {
    u: lattice.u,
    v: lattice.v,
    cells,
    middles: sheet.middles,
    backDepartures: backDepartures(array, sheet.middles),
    factor,
    haloShare: haloShare(sheet.model.halo),
    sheetScatter: cloudScatter(sheet),
    lit,
    bare,
    comparable: comparable(exposures),
    photos,
    notes,
  };
}
