import { InputError } from '@twolamp/session';

/**
 * The numbers in a decoded picture, as the file holds them: orientation applied, no profile, no change of curve.
 *
 * H rows × W columns × channels, row-major and interleaved: channel k of pixel (x, y) is
 * data[(y * width + x) * channels + k]. Channels: 1 grey; 3 red, green, blue; 4 those and opacity.
 */
export interface PixelCodes {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3 | 4;
  /** Codes run from 0 to codes − 1. */
  readonly codes: number;
  readonly data: Uint8Array | Uint8ClampedArray | Uint16Array;
}

/**
 * Refuses a picture of which parts are transparent: what would be measured there is not what was seen.
 * @param path - the photo, for the message
 * @throws InputError
 */
export function refuseTransparency({ data, channels, codes }: PixelCodes, path: string): void {
  if (channels !== 4) return;
  for (let i = 3; i < data.length; i += 4) {
    if (data[i] !== codes - 1) throw new InputError(path, 'parts of the picture are transparent', 'a photo');
  }
}
