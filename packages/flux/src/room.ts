/** Gives arrays of zeros, and takes back those that nobody looks at any more. */
export interface Room {
  readonly take: (length: number) => Float32Array;
  readonly giveBack: (...arrays: readonly Float32Array[]) => void;
}

/** Arrays that stay with whoever asks for them. */
export const ownRoom: Room = { take: (length) => new Float32Array(length), giveBack: () => {} };

/** What the last work had borrowed. */
let kept: ArrayBuffer[] = [];
/** Arrays are made a little longer than asked for: the next photo's profiles may cover a few pixels more. */
const SPARE = 1.05;

/**
 * Lends arrays for the time of some work, and keeps them for the next: a photo takes some 20 MB of them, and the next one
 * about as many. Nothing that the work returns may hold one.
 */
export function withLentRoom<T>(work: (room: Room) => T): T {
  const free = kept;
  const lent = new Set<ArrayBuffer>();
  const used = new Set<ArrayBuffer>();
  kept = [];
  const room: Room = {
    take: (length) => {
      const bytes = Float32Array.BYTES_PER_ELEMENT * length;
      const fitting = free.findIndex(
        ({ byteLength }) => byteLength >= bytes && byteLength <= 2 * SPARE * bytes,
      );
      const isNew = fitting < 0;
      const buffer = isNew
        ? new ArrayBuffer(Float32Array.BYTES_PER_ELEMENT * Math.ceil(SPARE * length))
        : free.splice(fitting, 1)[0];
      lent.add(buffer);
      used.add(buffer);
      const array = new Float32Array(buffer, 0, length);
      return isNew ? array : array.fill(0);
    },
    giveBack: (...arrays) => {
      for (const { buffer } of arrays as readonly Float32Array<ArrayBuffer>[]) {
        if (lent.delete(buffer)) free.push(buffer);
      }
    },
  };
  try {
    return work(room);
  } finally {
    kept = [...used];
  }
}

/** Drops what was kept for the next photo: where none comes, it only takes memory. */
export function dropLentRoom(): void {
  kept = [];
}
