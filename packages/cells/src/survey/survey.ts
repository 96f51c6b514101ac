import type { PackedPlace } from '@twolamp/optics';
import type { Finding, PhotoRecord, Shot } from '@twolamp/session';
import type { BareLevels, CellsOnPicture, LitShot } from '@twolamp/flux';
import type { ArrayPlace, BackDepartures, UnfilledPlace } from '@twolamp/places';

/**
 * What the photos gave, shot by shot, before anything is concluded from it; N tubes in reading order, places without a
 * tube left out. Plain data.
 */
export interface Survey {
  /** Lattice co-ordinates of each cell: across in pitches, down in rows. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Each cell's place on the reduced picture, with the local stretch of the lattice. */
  readonly cells: CellsOnPicture;
  /** Stated holes without a tube, on the reduced picture. */
  readonly unfilled: readonly UnfilledPlace[];
  /** Where the photo shows a tube's light and none is stated. */
  readonly litUnstated: readonly ArrayPlace[];
  /** Each cell's centre of light on the reduced picture, px. */
  readonly middles: { readonly x: Float64Array; readonly y: Float64Array };
  /** Where the tubes end at the sheet against where the stated array has them; null where it can't be seen. */
  readonly backDepartures: BackDepartures | null;
  /** Packed only: where the tubes end at the sheet; null in arrays with rows and columns, which state it. */
  readonly places: readonly PackedPlace[] | null;
  /** Whole factor by which photos were reduced: pixels of a photo per pixel of the reduced picture. */
  readonly factor: number;
  /** Light that the sheet scatters beyond the spots, per unit within them. */
  readonly wingShare: number;
  /** How much the sheet's clouds scatter the cells' light in the even shot, relative; 0 where none show. */
  readonly sheetScatter: number;
  /** Shots of the cells, light per unit of exposure: even, lamp, pair and single. */
  readonly lit: readonly LitShot<Shot>[];
  /** Illuminance of the bare sheet at each cell, per unit of exposure; one a bare shot. */
  readonly bare: readonly BareLevels[];
  /** Whether brightness may be compared across the photos, those of `unexposed` left out. */
  readonly comparable: boolean;
  /** Photos whose exposure isn't known while that of the others is. */
  readonly unexposed: ReadonlySet<string>;
  readonly photos: readonly PhotoRecord[];
  readonly findings: readonly Finding[];
}
