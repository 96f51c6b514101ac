/** Light that lies under everything, a plane over the picture: amounts of 1, and of a slope from −1 to 1 each way. */
export type BackgroundPlane = readonly [even: number, right: number, down: number];

export const PLANE_TERMS = 3;

/** The slope's value at a pixel of a picture so many pixels wide (or high). */
export const slopeAt = (pixel: number, size: number): number => (2 * pixel) / size - 1;

/** The floor's light at a pixel. */
export function planeLightAt(
  [even, right, down]: BackgroundPlane,
  { width, height }: { readonly width: number; readonly height: number },
  x: number,
  y: number,
): number {
  return even + right * slopeAt(x, width) + down * slopeAt(y, height);
}
