import sharp from 'sharp';

/** A grey picture in sRGB codes, 0 = black, 255 = white; H × W, row-major, top left first. */
export interface GreyCodes {
  readonly width: number;
  readonly height: number;
  readonly grey: Uint8Array;
}

/** A grey picture as a PNG file of 8 bits. */
export async function encodePng({ width, height, grey }: GreyCodes): Promise<Buffer> {
  return sharp(grey, { raw: { width, height, channels: 1 } })
    .toColourspace('b-w')
    .png()
    .toBuffer();
}
