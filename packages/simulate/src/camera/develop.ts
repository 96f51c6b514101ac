import sharp from 'sharp';
import type { Plan } from '../plan/plan-format.js';
import type { Exposure } from './exposure.js';
import { storedOrder } from './orientation.js';

/** Exposure times that cameras write as a decimal are written in tenths. */
const TENTHS = 10;
const FINE_LEVELS = 1 << 16;

/** Turns readings (linear, 0 to 1, row-major, upright) into an encoded photo file. */
export type Developer = (readings: Float32Array, exposure: Exposure) => Promise<Uint8Array>;

/**
 * @param photo - size, file format, tone, tint and orientation tag
 * @param aperture - f-number, for EXIF
 * @returns a developer that writes exposure and orientation into EXIF
 */
export function developer(photo: Plan['photo'], aperture: number): Developer {
  const isGrey = photo.tint.every((part) => part === 1);
  const levels = photo.format === 'png16' ? 0xffff : 0xff;
  const curves = (isGrey ? [1] : photo.tint).map((part) => codeTable(part, levels, photo.tone));
  const order = storedOrder(photo.width, photo.height, photo.orientation);
  const raw = { width: order.width, height: order.height, channels: isGrey ? 1 : 3 } as const;
  return (readings, exposure) => {
    const picture = sharp(encode(readings, curves, order, levels), { raw });
    const file =
      photo.format === 'jpeg'
        ? picture.jpeg({ quality: photo.quality })
        : picture.toColourspace(colourSpace(isGrey, levels)).png();
    const exposed = file.withExif({
      IFD2: {
        ExposureTime: timeFraction(exposure.seconds),
        FNumber: `${Math.round(aperture * TENTHS)}/${TENTHS}`,
        ISOSpeedRatings: String(exposure.iso),
      },
    });
    // Writing the tag brings a colour profile along, so it is left out where it says nothing.
    const tagged =
      photo.orientation === 1 ? exposed : exposed.withMetadata({ orientation: photo.orientation });
    return tagged.toBuffer();
  };
}

/** Linear light to the signal of sRGB, both 0 to 1. Source: IEC 61966-2-1. */
export function encodeSrgb(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

function codeTable(part: number, levels: number, tone: 'srgb' | 'linear'): Uint16Array {
  return Uint16Array.from({ length: FINE_LEVELS }, (_, i) => {
    const linear = (part * i) / (FINE_LEVELS - 1);
    return Math.round(levels * (tone === 'srgb' ? encodeSrgb(linear) : linear));
  });
}

function encode(
  readings: Float32Array,
  curves: readonly Uint16Array[],
  order: ReturnType<typeof storedOrder>,
  levels: number,
): Uint8Array | Uint16Array {
  const channels = curves.length;
  const codes =
    levels > 0xff ? new Uint16Array(readings.length * channels) : new Uint8Array(readings.length * channels);
  let at = 0;
  for (let row = 0; row < order.height; row++) {
    let from = order.first + row * order.perRow;
    for (let column = 0; column < order.width; column++, from += order.perColumn) {
      const fine = (readings[from] * (FINE_LEVELS - 1) + 0.5) | 0;
      for (let channel = 0; channel < channels; channel++) codes[at++] = curves[channel][fine];
    }
  }
  return codes;
}

function colourSpace(isGrey: boolean, levels: number): string {
  if (levels > 0xff) return isGrey ? 'grey16' : 'rgb16';
  return isGrey ? 'b-w' : 'srgb';
}

function timeFraction(seconds: number): string {
  return seconds < 0.3 ? `1/${Math.round(1 / seconds)}` : `${Math.round(seconds * TENTHS)}/${TENTHS}`;
}
