/** Light on the sensor, H rows × W columns, row-major: pixel (x, y) is data[y * width + x]; lx at the sheet. */
export interface Plane {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}
