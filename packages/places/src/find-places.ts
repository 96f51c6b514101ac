import type { ArraySpec, ShotPhoto } from '@twolamp/session';
import { findLattice, type FoundLattice } from './lattice/find-lattice.js';
import { findPacked } from './packed/find-packed.js';

/**
 * Where every cell lies in the even shot: in its row and column, or packed without any. Whatever comes later doesn't know
 * the difference.
 *
 * @param even - the even shot, linear light
 * @param name - its name, for messages
 * @throws InputError where the stated array isn't found
 */
export function findPlaces(even: ShotPhoto, array: ArraySpec, name: string): FoundLattice {
  return array.arrangement === 'packed' ? findPacked(even, array, name) : findLattice(even, array, name);
}
