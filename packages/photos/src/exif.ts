import { isPossible, type Quantity } from '@twolamp/session';
import exifr from 'exifr';

/** What EXIF says of how a photo was taken; null where it doesn't. */
export interface ShotFacts {
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly aperture: number | null;
  /** Local time of the camera's clock without a zone, as `2025-01-31T18:05:09`. */
  readonly takenAt: string | null;
  /** Whether EXIF says that frames were merged, or tones changed otherwise than for all pixels alike. */
  readonly processed?: boolean;
}

const TAGS = ['ExposureTime', 'ISO', 'FNumber', 'DateTimeOriginal', 'CustomRendered'];
/**
 * CustomRendered where the picture is as usual: 0 by Exif 2.3; 4 stands on some phones for the plain one of two pictures,
 * the other merged from several frames (from memory).
 */
const RENDERED_AS_USUAL = [0, 4];
/** Exif 2.3 writes this for any sensitivity its 16 bits can't hold. */
const ISO_OUT_OF_RANGE = 65535;

/** A number of EXIF, null where it is none or can't be: a camera that writes nonsense hasn't said anything. */
function stated(quantity: Quantity, value: unknown): number | null {
  const number = Array.isArray(value) || ArrayBuffer.isView(value) ? (value as ArrayLike<unknown>)[0] : value;
  return typeof number === 'number' && isPossible(quantity, number) ? number : null;
}

function localTime(value: unknown): string | null {
  const parts =
    typeof value === 'string'
      ? /^(\d{4}):(0[1-9]|1[0-2]):(0[1-9]|[12]\d|3[01]) (\d\d:\d\d:\d\d)/.exec(value)
      : null;
  return parts && parts[1] !== '0000' ? `${parts[1]}-${parts[2]}-${parts[3]}T${parts[4]}` : null;
}

const EXIF_NAME = [0x45, 0x78, 0x69, 0x66, 0, 0]; // "Exif" and two zeros

/** The block of a JPEG, WebP or AVIF starts with a name that isn't part of its TIFF structure. */
export function tiffPart(exif: Uint8Array): Uint8Array {
  return EXIF_NAME.every((byte, i) => exif[i] === byte) ? exif.subarray(EXIF_NAME.length) : exif;
}

/**
 * Exposure time, ISO, aperture and time of a photo.
 *
 * An EXIF block that can't be read gives nulls, not an error: it spoils no pixel.
 *
 * @param block - an EXIF block, or a whole file in which exifr finds one; null where there is none
 */
export async function readShotFacts(block: Uint8Array | null): Promise<ShotFacts> {
  let tags: Record<string, unknown> = {};
  if (block) {
    try {
      tags =
        (await exifr.parse(tiffPart(block), { pick: TAGS, reviveValues: false, translateValues: false })) ??
        {};
    } catch {
      tags = {};
    }
  }
  const iso = stated('iso', tags.ISO);
  return {
    exposureS: stated('exposureS', tags.ExposureTime),
    iso: iso === ISO_OUT_OF_RANGE ? null : iso,
    aperture: stated('aperture', tags.FNumber),
    takenAt: localTime(tags.DateTimeOriginal),
    processed: typeof tags.CustomRendered === 'number' && !RENDERED_AS_USUAL.includes(tags.CustomRendered),
  };
}
