import type { ArraySpec, ShotPhoto } from '@twolamp/session';
import { cellsOnPicture, coarseShift } from '@twolamp/flux';
import { findPlaces, reducePhoto } from '@twolamp/places';

/** How far the camera had moved when a photo was taken, roughly. */
export interface CameraMove {
  readonly px: number;
  readonly pitches: number;
}

/**
 * Finds the cells in an even shot, and tells of other photos how far the camera had moved.
 *
 * Rough and quick, to about a tenth of a pitch, for a look before measuring. Moves of more than half a pitch fall on
 * the next cell and look smaller.
 *
 * @param even - the even shot
 * @param photo - its name, for messages
 * @returns for a photo of the same size on which some cells are lit: its move against the even shot
 * @throws InputError where the stated rows and columns can't be found in the even shot
 */
export function cameraMoves(
  even: ShotPhoto,
  array: ArraySpec,
  photo: string,
): (other: ShotPhoto) => CameraMove {
  const { lattice, picture } = findPlaces(even, array, photo);
  const cells = cellsOnPicture(lattice, array.arrangement === 'hexagonal', lattice.spotUnit);
  return (other) => {
    const move = Math.hypot(...coarseShift(reducePhoto(other, picture.factor), cells));
    return { px: move * picture.factor, pitches: move / cells.pitchPx };
  };
}
