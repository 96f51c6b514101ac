import type { PixelCodes } from '../codes.js';

/**
 * Where a pixel of the upright picture lies in the stored one. W × H is the stored size.
 * Exif 2.3, tag 274 (Orientation): what the stored picture's first row and first column show.
 */
type Source = (x: number, y: number, width: number, height: number) => readonly [x: number, y: number];

const SOURCES: Record<number, Source> = {
  2: (x, y, width) => [width - 1 - x, y],
  3: (x, y, width, height) => [width - 1 - x, height - 1 - y],
  4: (x, y, _, height) => [x, height - 1 - y],
  5: (x, y) => [y, x],
  6: (x, y, _, height) => [y, height - 1 - x],
  7: (x, y, width, height) => [width - 1 - y, height - 1 - x],
  8: (x, y, width) => [width - 1 - y, x],
};

/**
 * A picture turned the right way up.
 *
 * @param orientation - EXIF's, 1 to 8
 */
export function orient(pixels: PixelCodes, orientation: number): PixelCodes {
  const source = SOURCES[orientation];
  if (source === undefined) return pixels;
  const { width, height, channels, data } = pixels;
  const turned = orientation >= 5;
  const [across, down] = turned ? [height, width] : [width, height];
  const upright = data.slice();
  for (let y = 0; y < down; y++) {
    // The source place is linear in x: its first value and its step are enough.
    const [x0, y0] = source(0, y, width, height);
    const [x1, y1] = source(1, y, width, height);
    const step = (y1 - y0) * width + (x1 - x0);
    let from = (y0 * width + x0) * channels;
    let to = y * across * channels;
    for (let x = 0; x < across; x++) {
      for (let k = 0; k < channels; k++) upright[to + k] = data[from + k]!;
      from += step * channels;
      to += channels;
    }
  }
  return { ...pixels, width: across, height: down, data: upright };
}
