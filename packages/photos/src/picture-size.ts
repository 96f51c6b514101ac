import { InputError, MOST_PIXELS } from '@twolamp/session';

/** Pictures with a side shorter than this can't show an array; they are icons or thumbnails. */
const SHORTEST_SIDE_PX = 32;

/**
 * Refuses pictures that are too small to show an array, or too large to hold.
 * @param path - the photo, for the message
 * @throws InputError
 */
export function requirePhotoSize(widthPx: number, heightPx: number, path: string): void {
  const size = `the picture is ${widthPx} × ${heightPx} pixels`;
  if (Math.min(widthPx, heightPx) < SHORTEST_SIDE_PX) {
    throw new InputError(path, size, `at least ${SHORTEST_SIDE_PX} pixels each way`);
  }
  if (widthPx * heightPx > MOST_PIXELS) throw new InputError(path, size, `at most ${MOST_PIXELS} pixels`);
}
