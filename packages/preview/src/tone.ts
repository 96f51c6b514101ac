/** sRGB code of linear light, both 0 to 1; light outside is clipped. Source: IEC 61966-2-1:1999. */
export function srgbTone(light: number): number {
  const inside = Math.min(1, Math.max(0, light));
  return inside <= 0.0031308 ? 12.92 * inside : 1.055 * inside ** (1 / 2.4) - 0.055;
}
