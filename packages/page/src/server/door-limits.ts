/** What the phone's door lets in. Photos of phones have 2 to 15 MB, of large cameras up to 60 MB. */
export const DOOR_LIMITS = {
  photoBytes: 64 * 2 ** 20,
  /** In one opening of the door. */
  photos: 500,
  /** At one time; each is held in memory whole. */
  uploads: 2,
  connections: 24,
  /** A photo of 15 MB takes some 10 s over a poor Wi-Fi. */
  requestMs: 90_000,
  headersMs: 10_000,
  /** How long the phone waits for the page's verdict. */
  verdictMs: 60_000,
  /** After so long without a photo the door closes. */
  idleMs: 3_600_000,
  /** A page that is loaded anew is back within this time; if not, the door closes. */
  awayMs: 15_000,
} as const;

export type DoorLimits = { readonly [K in keyof typeof DOOR_LIMITS]: number };
