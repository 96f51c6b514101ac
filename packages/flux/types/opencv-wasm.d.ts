/**
 * The part of opencv-wasm that a test calls. The package's own types are untyped `any` values in a .ts file that strict
 * settings refuse.
 */
export interface Mat {
  readonly data32F: Float32Array;
  delete(): void;
}

export const cv: {
  readonly CV_32F: number;
  readonly Mat: new (rows?: number, columns?: number, type?: number) => Mat;
  moments(image: Mat, binary: boolean): { readonly m00: number; readonly m10: number; readonly m01: number };
};
