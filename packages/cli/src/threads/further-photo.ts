import { join } from 'node:path';
import { type FurtherPhoto, type FurtherShot, type KnownSheet, measureFurther } from '@twolamp/cells';
import { type PhotoReading, readReduciblePhoto } from '@twolamp/photos';

/** Where further photos lie, and how they are read. */
export interface FurtherPhotos {
  readonly folder: string;
  readonly reading: PhotoReading;
}

/** Measures shots of a list of which others take some too: one after the other, as long as any is left. */
export async function takeShots(
  { folder, reading }: FurtherPhotos,
  { known, shots, taken }: SharedShots,
  done: (n: number, photo: FurtherPhoto | null) => void,
): Promise<void> {
  for (let n = Atomics.add(taken, 0, 1); n < shots.length; n = Atomics.add(taken, 0, 1)) {
    let photo: FurtherPhoto | null = null;
    try {
      photo = measureFurther(
        known,
        shots[n],
        await readReduciblePhoto(join(folder, shots[n].photo), reading),
      );
    } catch {
      // The survey tries it again in its turn, and tells what is wrong.
    }
    done(n, photo);
  }
}

/** Shots to measure once a sheet is known. */
export interface SharedShots {
  readonly known: KnownSheet;
  readonly shots: readonly FurtherShot[];
  /** How many shots of the list are taken, shared by all threads. */
  readonly taken: Int32Array;
}
