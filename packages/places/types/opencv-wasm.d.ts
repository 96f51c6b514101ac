/**
 * The part of opencv-wasm that we call. The package's own types are untyped `any` values in a .ts file that strict
 * settings refuse.
 */
export interface Mat {
  readonly rows: number;
  readonly cols: number;
  readonly data32F: Float32Array;
  readonly data64F: Float64Array;
  delete(): void;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

export const cv: {
  readonly CV_32F: number;
  readonly CV_64FC2: number;
  readonly BORDER_REPLICATE: number;
  readonly DFT_COMPLEX_OUTPUT: number;
  readonly DFT_INVERSE: number;
  readonly DFT_REAL_OUTPUT: number;
  readonly Mat: new (rows?: number, columns?: number, type?: number) => Mat;
  readonly Size: new (width: number, height: number) => Size;
  GaussianBlur(from: Mat, to: Mat, size: Size, sigmaX: number, sigmaY: number, border: number): void;
  getOptimalDFTSize(size: number): number;
  dft(from: Mat, to: Mat, flags: number): void;
  findHomography(from: Mat, to: Mat): Mat;
  moments(image: Mat, binary: boolean): { readonly m00: number; readonly m10: number; readonly m01: number };
};
