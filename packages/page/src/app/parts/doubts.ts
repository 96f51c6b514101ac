import type { Conclusion } from '../../worker/measured.js';

/** Doubts that name a photo. */
export const doubtsAbout = (conclusion: Conclusion | null, file: string): string[] =>
  (conclusion?.doubts ?? []).filter((doubt) => doubt.includes(file));
