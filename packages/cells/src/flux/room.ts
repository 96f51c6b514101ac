/** Gives an array of zeros, of some length. */
export type Room = (length: number) => Float32Array;

/** Arrays that stay with whoever asks for them. */
export const ownRoom: Room = (length) => new Float32Array(length);

/** What the last work had borrowed. */
let kept: Float32Array[] = [];
/** Arrays are made a little longer than asked for: the next photo's profiles may cover a few pixels more. */
const SPARE = 1.05;

/**
 * Lends arrays for the time of some work, and keeps them for the next: a photo takes some 20 MB of them, and the next one
 * about as many. Nothing that the work returns may hold one.
 */
export function withLentRoom<T>(work: (room: Room) => T): T {
  const free = kept;
  const lent: Float32Array[] = [];
  kept = [];
  const room: Room = (length) => {
    const fitting = free.findIndex((one) => one.length >= length && one.length <= 2 * SPARE * length);
    const array = fitting < 0 ? new Float32Array(Math.ceil(SPARE * length)) : free.splice(fitting, 1)[0];
    lent.push(array);
    return array.subarray(0, length).fill(0);
  };
  try {
    return work(room);
  } finally {
    kept = lent;
  }
}
