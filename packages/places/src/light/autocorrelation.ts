import type { Plane } from '@twolamp/session';
import FFT from 'fft.js';

/**
 * Autocorrelation by the Fourier transform (Wiener–Khinchin theorem) of the rows, zero-padded so that lags up to `reach` don't
 * wrap; from row to row, the few lags that are wanted are summed up.
 *
 * @param plane - H × W, its mean taken off by the caller
 * @param reach - largest lag wanted, in pixels
 * @returns (2 · reach + 1) values each way, 1 at lag zero; lag (dx, dy) at column dx, row dy, negative lags counted from the
 *   far end
 */
export function autocorrelation(plane: Plane, reach: number): Plane {
  const side = 2 * reach + 1;
  const data = new Float32Array(side * side);
  const rows = new RowSpectra(plane, reach);
  for (let dy = 0; dy <= reach; dy++) {
    const sums = rows.lagged(dy);
    for (let dx = -reach; dx <= reach; dx++) {
      const value = sums[2 * ((dx + rows.size) % rows.size)];
      data[dy * side + ((dx + side) % side)] = value;
      // The same from the other end.
      data[((side - dy) % side) * side + ((side - dx) % side)] = value;
    }
  }
  const top = data[0] || 1;
  for (let at = 0; at < data.length; at++) data[at] /= top;
  return { width: side, height: side, data };
}

/** Fourier transforms of a plane's rows. */
class RowSpectra {
  /** Length of the transforms. */
  readonly size: number;
  private readonly fft: FFT;
  /** Non-negative frequencies of each row, real and imaginary part by turns. */
  private readonly spectra: Float64Array;
  private readonly height: number;
  private readonly stride: number;

  constructor({ width, height, data }: Plane, reach: number) {
    this.size = 2 ** Math.ceil(Math.log2(width + reach));
    this.fft = new FFT(this.size);
    this.height = height;
    this.stride = this.size + 2;
    this.spectra = new Float64Array(height * this.stride);
    const row = new Float64Array(this.size);
    const spectrum = new Float64Array(2 * this.size);
    for (let y = 0; y < height; y++) {
      row.set(data.subarray(y * width, (y + 1) * width));
      this.fft.realTransform(spectrum, row);
      this.spectra.set(spectrum.subarray(0, this.stride), y * this.stride);
    }
  }

  /** Σ over the rows y of the correlation of row y with row y + dy: at each lag a real part, and an imaginary one of 0. */
  lagged(dy: number): Float64Array {
    const { size, fft, spectra, stride, height } = this;
    const cross = new Float64Array(2 * size);
    for (let y = 0; y + dy < height; y++) addCross(spectra, y * stride, (y + dy) * stride, stride, cross);
    fft.completeSpectrum(cross);
    const sums = new Float64Array(2 * size);
    fft.inverseTransform(sums, cross);
    return sums;
  }
}

/** Adds the product of one spectrum's conjugate with another. */
function addCross(
  spectra: Float64Array,
  one: number,
  other: number,
  count: number,
  into: Float64Array,
): void {
  for (let n = 0; n < count; n += 2) {
    const a = spectra[one + n];
    const b = spectra[one + n + 1];
    const c = spectra[other + n];
    const d = spectra[other + n + 1];
    into[n] += a * c + b * d;
    into[n + 1] += a * d - b * c;
  }
}
