import type { PixelCodes } from '../codes.js';

/** Good enough to see spots by; canvas takes 0 to 1. */
const JPEG_QUALITY = 0.8;

/** A small picture of a photo, for a page. */
export interface SmallPicture {
  /** A data: address. */
  readonly jpeg: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixels of the photo per pixel of the small picture. */
  readonly scale: number;
}

/** The codes as the 8-bit picture a canvas takes. */
function imageOf({ width, height, channels, codes, data }: PixelCodes): ImageData {
  const shift = Math.log2(codes) - 8;
  const image = new ImageData(width, height);
  for (let i = 0; i < width * height; i++) {
    for (let k = 0; k < 3; k++)
      image.data[4 * i + k] = data[i * channels + (channels === 1 ? 0 : k)]! >> shift;
    image.data[4 * i + 3] = 255;
  }
  return image;
}

async function dataAddress(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  const CHUNK = 0x8000; // as many arguments as any engine takes
  for (let i = 0; i < bytes.length; i += CHUNK) text += String.fromCharCode(...bytes.subarray(i, i + CHUNK));
  return `data:${blob.type};base64,${btoa(text)}`;
}

/**
 * A small JPEG of a photo in the photo's own tones.
 *
 * @param pixels - the right way up
 * @param widthPx - width wanted; a narrower photo keeps its width
 */
export async function smallPicture(pixels: PixelCodes, widthPx: number): Promise<SmallPicture> {
  const width = Math.min(widthPx, pixels.width);
  const height = Math.max(1, Math.round((pixels.height * width) / pixels.width));
  const bitmap = await createImageBitmap(imageOf(pixels), {
    resizeWidth: width,
    resizeHeight: height,
    resizeQuality: 'high',
  });
  const canvas = new OffscreenCanvas(width, height);
  canvas.getContext('2d')!.drawImage(bitmap, 0, 0);
  bitmap.close();
  const jpeg = await canvas.convertToBlob({ type: 'image/jpeg', quality: JPEG_QUALITY });
  return { jpeg: await dataAddress(jpeg), widthPx: width, heightPx: height, scale: pixels.width / width };
}
