import type { Plane } from '@twolamp/session';

/** A plane enlarged by a whole factor, bilinear; beyond the outermost pixels' middles it goes on evenly. */
export class EnlargedPlane {
  private readonly left: Int32Array;
  private readonly share: Float32Array;
  private readonly between: Float32Array;
  private readonly wide: Float32Array;

  /** @param width - of the enlarged plane */
  constructor(
    private readonly plane: Plane,
    private readonly factor: number,
    width: number,
  ) {
    this.left = new Int32Array(width);
    this.share = new Float32Array(width);
    for (let x = 0; x < width; x++) {
      const place = this.placeOf(x, plane.width);
      this.left[x] = Math.min(Math.floor(place), Math.max(plane.width - 2, 0));
      this.share[x] = place - this.left[x];
    }
    // One more than the plane has, for a plane of one column.
    this.between = new Float32Array(plane.width + 1);
    this.wide = new Float32Array(width);
  }

  /** One row of the enlarged plane; overwritten by the next call. */
  row(y: number): Float32Array {
    const { left, share, between, wide } = this;
    const { width, height, data } = this.plane;
    const place = this.placeOf(y, height);
    const row = Math.min(Math.floor(place), Math.max(height - 2, 0));
    const upper = row * width;
    const lower = Math.min(row + 1, height - 1) * width;
    const below = place - row;
    for (let x = 0; x < width; x++) between[x] = data[upper + x] * (1 - below) + data[lower + x] * below;
    for (let x = 0; x < wide.length; x++) {
      const before = between[left[x]];
      const after = between[left[x] + 1];
      wide[x] = before + share[x] * (after - before);
    }
    return wide;
  }

  private placeOf(pixel: number, size: number): number {
    return Math.min(Math.max((pixel + 0.5) / this.factor - 0.5, 0), size - 1);
  }
}

/** The whole plane enlarged by a factor, cut off or gone on to a size. */
export function enlarged(plane: Plane, factor: number, width: number, height: number): Plane {
  const rows = new EnlargedPlane(plane, factor, width);
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) data.set(rows.row(y), y * width);
  return { width, height, data };
}
